package main

import "os"

// isTerminal says whether a person at a terminal reads what is printed.
func (g *globals) isTerminal() bool {
	if g.held != nil {
		return g.terminal
	}
	if g.person != nil {
		return true
	}
	f, ok := g.out.(*os.File)
	return ok && isDevice(f)
}

// isDevice says whether a file is a terminal, or another device of its kind.
func isDevice(f *os.File) bool {
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
