//go:build race

package server_test

// raced says that the race detector is on, which takes some times as much memory.
const raced = true
