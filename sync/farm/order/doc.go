// Package order keeps which entries are here, and in which order: who had seen
// what, which logs are branches of one device's, and the total order by place. The
// bodies of entries and what they mean are no matter of it.
//
// A [Rec] is an entry in its place. What the rooms above find out about an entry
// or a log (whose it is, whether it counts, what it stands for) lies in it as
// well, so that it is found without asking; this room only keeps it.
package order
