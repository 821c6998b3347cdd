package bench

import (
	"bufio"
	"os"
	"runtime"
	"strings"
)

// Machine is what was measured on.
type Machine struct {
	System     string `json:"system"` // such as linux/amd64
	Processor  string `json:"processor"`
	Processors int    `json:"processors"` // that Go uses
	Go         string `json:"go"`
}

func thisMachine() Machine {
	return Machine{
		System: runtime.GOOS + "/" + runtime.GOARCH, Processor: processor(),
		Processors: runtime.GOMAXPROCS(0), Go: runtime.Version(),
	}
}

// processor is the processor's name, where the system says it.
func processor() string {
	f, err := os.Open("/proc/cpuinfo")
	if err != nil {
		return ""
	}
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if key, name, ok := strings.Cut(lines.Text(), ":"); ok && strings.TrimSpace(key) == "model name" {
			return strings.TrimSpace(name)
		}
	}
	return ""
}
