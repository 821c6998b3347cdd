package page

import "sync"

// sentKept is how many forms are remembered: a crew's busiest day on one
// device, some times over.
const sentKept = 1000

// sent remembers which forms were written down, so that a double tap, a reload
// or a second answer to a slow link does not write twice.
type sent struct {
	mu    sync.Mutex
	done  map[string]string // form's number: where it led to
	order []string
}

func newSent() *sent { return &sent{done: map[string]string{}} }

// once does what a form asks for, unless it was done; it gives where that led
// to. Forms take turns: the second of a double tap finds the first one done.
func (s *sent) once(number string, do func() (string, error)) (string, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if to, ok := s.done[number]; ok && number != "" {
		return to, nil
	}
	to, err := do()
	if err != nil || number == "" {
		return to, err
	}
	if len(s.order) == sentKept {
		delete(s.done, s.order[0])
		s.order = s.order[1:]
	}
	s.done[number] = to
	s.order = append(s.order, number)
	return to, nil
}
