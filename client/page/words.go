package page

import (
	_ "embed"

	"turnrow/client/words"
)

//go:embed english.txt
var english string

// texts is every text that the page shows of its own, in English. What the
// record says comes from the core, as messages.
var texts = words.Read(english)
