package main

import "os"

// isTerminal says whether a person at a terminal reads what is printed.
func (g *globals) isTerminal() bool {
	if g.held != nil {
		return g.terminal
	}
	f, ok := g.out.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
