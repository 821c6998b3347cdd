// Package message is what the core has to say to people, as data: which message
// it is, and its arguments. It holds no words of any language: these are in a
// catalogue above the core (turnrow/client/words), which puts a message into
// one language and one system of units.
package message
