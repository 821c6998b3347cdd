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
		return texts.Text("crew.icopied")
	case errors.Is(err, client.ErrNoIdentity):
		return texts.Text("refused.noidentity")
	case errors.Is(err, client.ErrBehind):
		return texts.Text("refused.behind")
	case errors.Is(err, client.ErrOwner):
		return texts.Text("refused.owner")
	case errors.Is(err, logstore.ErrClosed):
		return texts.Text("refused.closed")
	case errors.Is(err, logstore.ErrDisk):
		return texts.Text("refused.disk")
	}
	return ""
}
