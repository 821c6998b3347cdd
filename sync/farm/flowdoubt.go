package farm

// flowDoubts is what is in doubt about the seed in a box.
func (s *State) flowDoubts(t *thing, f *flow) []finding {
	return nil
}
