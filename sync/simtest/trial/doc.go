// Package trial puts the engine's doubts on trial: it makes worlds whose truth
// is known, lets a crew measure in them with the noise that has been published
// for drills, and counts how often what the engine then states is so.
//
// It shares no code and no constant with the engine. Its draws are its own, on
// fixed seeds, and its figures are typed in from their sources; where none was
// published, that is said beside the figure.
//
// The tables that its tests print stand in DEVELOPERS.md:
//
//	go test ./sync/simtest/trial -run Tables -v -worlds 2000
package trial
