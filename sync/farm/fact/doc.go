// Package fact takes in the entries that count, after what others say of them:
// amended, struck, settled. What they come to lies in the fields of things and in
// ordered sets of events, from which an entry can be taken back again.
package fact
