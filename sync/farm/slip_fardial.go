package farm

func (s *State) farDials(t *thing, f *flow) []slip { return nil }
