package replica

import (
	"net"
	"strconv"
)

// Reachable is the address at which others find a listener: its own, or where
// it listens everywhere, this machine's first IPv4 address on a network.
func Reachable(lis net.Addr) string {
	tcp, ok := lis.(*net.TCPAddr)
	if !ok || !tcp.IP.IsUnspecified() {
		return lis.String()
	}
	return net.JoinHostPort(onNetwork(), strconv.Itoa(tcp.Port))
}

func onNetwork() string {
	addrs, err := net.InterfaceAddrs()
	if err != nil {
		return "localhost"
	}
	for _, a := range addrs {
		if n, ok := a.(*net.IPNet); ok && n.IP.To4() != nil && n.IP.IsGlobalUnicast() {
			return n.IP.String()
		}
	}
	return "localhost"
}
