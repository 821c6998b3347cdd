// Package sync is the room of everything that every replica of a turnrow
// record must compute alike: the units, the clock, the entries and their
// chains, the fold that turns entries into the state of a farm, the rate
// engine, the exchange protocol and the log that keeps the bytes.
//
// Code sits in the packages below this one only, so that nobody who needs the
// standard library's sync package has to rename either.
package sync
