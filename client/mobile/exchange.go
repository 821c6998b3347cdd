package mobile

import (
	"bytes"
	"errors"

	"turnrow/client"
	"turnrow/client/answer"
)

// Sync exchanges with the farm's server until neither lacks anything of the
// other, for a minute at most. It gives an answer.Synced; a server that is away
// or was lost on the way is told there. Errors are no-farm, no-server,
// no-identity, copied, pin and stopped.
func (h *Home) Sync() (string, error) {
	f, err := h.farm()
	if err != nil {
		return "", err
	}
	ctx, stop := h.network()
	defer stop()
	done, err := f.Sync(ctx)
	if err != nil && !errors.Is(err, client.ErrAway) {
		return "", failed(err)
	}
	a := reporting(f).Synced(done, err)
	for i := range done.Refused {
		a.Refused = append(a.Refused, done.Refused[i].Error())
	}
	return text(a)
}

// CarryOut gives the whole record as a carry file, some 20 bytes an entry, to be
// taken to another device by whatever carries files. Errors are no-farm and
// no-identity.
func (h *Home) CarryOut() ([]byte, error) {
	f, err := h.farm()
	if err != nil {
		return nil, err
	}
	var file bytes.Buffer
	if _, err := f.CarryOut(&file); err != nil {
		return nil, failed(err)
	}
	return file.Bytes(), nil
}

// CarryIn takes in a carry file of another device of the farm, checked as if it
// had come over the wire. It gives an answer.Carried. Errors are no-farm, carry
// and other-farm.
func (h *Home) CarryIn(file []byte) (string, error) {
	f, err := h.farm()
	if err != nil {
		return "", err
	}
	in, err := f.CarryIn(bytes.NewReader(file))
	if err != nil {
		return "", failed(err)
	}
	a := answer.Carried{Entries: in.Entries, Refused: []string{}, Admitted: reporting(f).LetIn(in.Admitted)}
	for i := range in.Refused {
		a.Refused = append(a.Refused, in.Refused[i].Error())
	}
	return text(a)
}
