// Package crew works out who belongs to the farm and whose entries count, by
// the entries about the crew alone: who let whom in, which role each has, whom a
// stop cuts off and where. It judges entries; that this changed is for
// the room above to carry out.
package crew
