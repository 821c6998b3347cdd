package mobile

import (
	"encoding/json"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/words"
)

// farm is the farm that the home is of.
func (h *Home) farm() (*client.Farm, error) {
	if err := h.opened(); err != nil {
		return nil, err
	}
	f, err := h.home.Farm()
	return f, failed(err)
}

// text is an answer as JSON.
func text(a any) (string, error) {
	b, err := json.Marshal(a)
	return string(b), failed(err)
}

// View gives the farm as it stands on this device, as an answer.View. It takes
// time that grows with the record, so ask for it when a Listener heard of a
// change. The error is no-farm.
func (h *Home) View() (string, error) {
	f, err := h.farm()
	if err != nil {
		return "", err
	}
	return text(reporting(f).Whole())
}

// Log gives the last entries of the record, at most so many, 0 for all, as a list
// of answer.Line in an order that puts nothing before what its writer knew. Errors
// are no-farm, and refused for fewer than 0.
func (h *Home) Log(most int64) (string, error) {
	f, err := h.farm()
	if err != nil {
		return "", err
	}
	if most < 0 {
		return "", refused("most", errBelowZero)
	}
	r, lines := reporting(f), f.Lines()
	if n := int64(len(lines)); most > 0 && n > most {
		lines = lines[n-most:]
	}
	list := []answer.Line{}
	for _, l := range lines {
		list = append(list, r.Line(l))
	}
	return text(list)
}

// Doubts gives what only a person can settle, settled ones too, as a list of
// answer.Doubt. The error is no-farm.
func (h *Home) Doubts() (string, error) {
	f, err := h.farm()
	if err != nil {
		return "", err
	}
	r, list := reporting(f), []answer.Doubt{}
	for d := range words.Doubts(r.View()) {
		list = append(list, r.Doubt(d))
	}
	return text(list)
}
