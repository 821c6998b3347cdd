package page

import (
	"errors"

	"turnrow/client"
	"turnrow/client/syncer"
	"turnrow/sync/logstore"
)

// refusal says of an error for which a device writes nothing, whatever is typed,
// why that is and what to do; "" of an error that is about what was typed.
func refusal(err error) string {
	switch {
	case errors.Is(err, syncer.ErrCopied):
		return words.text("crew.icopied")
	case errors.Is(err, client.ErrNoIdentity):
		return words.text("refused.noidentity")
	case errors.Is(err, client.ErrBehind):
		return words.text("refused.behind")
	case errors.Is(err, client.ErrOwner):
		return words.text("refused.owner")
	case errors.Is(err, logstore.ErrClosed):
		return words.text("refused.closed")
	case errors.Is(err, logstore.ErrDisk):
		return words.text("refused.disk")
	}
	return ""
}
