//go:build !race

package server_test

const raced = false
