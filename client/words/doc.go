// Package words puts what the core says into the words of a language: one
// catalogue for the page, the commands, the sheets and the audit file. The core
// itself says all as messages (turnrow/sync/message).
//
// Of is the words for a view. Another language is another catalogue of the same
// keys.
package words
