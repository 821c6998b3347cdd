package main

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
)

// doorName is the socket's name in the home.
const doorName = "turnrow.sock"

// longestDoor is the longest path that every system takes for a socket: BSDs
// take 103 bytes, Linux 107.
const longestDoor = 100

// doorPath is the path of a home's door, and what to call once it is no longer
// used. A path that is too long for a socket is shortened by way of the open
// folder, where the system has one; elsewhere it is an error.
func doorPath(home string) (path string, release func(), err error) {
	path = filepath.Join(home, doorName)
	if len(path) <= longestDoor {
		return path, func() {}, nil
	}
	if runtime.GOOS != "linux" {
		return "", nil, fmt.Errorf("%s: too long for a socket's path, of which %d bytes are taken", path, longestDoor)
	}
	dir, err := os.Open(home)
	if err != nil {
		return "", nil, err
	}
	return fmt.Sprintf("/proc/self/fd/%d/%s", dir.Fd(), doorName), func() { dir.Close() }, nil
}
