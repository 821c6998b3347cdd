// Package answer is what turnrow's commands print with --json, as types that
// other programs can read it into. It imports nothing of turnrow.
//
// Figures carry six significant ones. The unit of each is in its key (left_lb,
// per_ft2), or is told beside the field. A share is a fraction of one. Keys
// whose figure may not be known are there and null, where not said otherwise;
// a key that is left out where it is empty says omitempty. IDs of entries are
// DEVICE/NUMBER, of doubts eight hex digits; times are RFC 3339.
package answer

// Version is the version of the answers. A field may be added within a version,
// so a reader passes over keys that it does not know; a field that goes, or
// comes to mean something else, makes the next one.
const Version = 1
