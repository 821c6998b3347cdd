// Package thing keeps what the crew named, the people, ground, drills, boxes and
// lots, and what is set of each: a [Register] for each field, in which the writes
// of several people merge.
package thing
