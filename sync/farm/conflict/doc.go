// Package conflict names what people may have to settle: the kinds of doubt, what
// a doubt says, and what settles it. It goes by the IDs of entries: each room
// above finds the conflicts of its own step.
package conflict
