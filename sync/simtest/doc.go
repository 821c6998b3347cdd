// Package simtest puts a crew of replicas into a small, seeded world and looks
// whether the record keeps what it promises.
//
// The world is told what to do line by line, in a language that reads as a
// crew's day. The same lines are written by hand, as the stories under
// testdata/stories, and made by chance, as schedules; a schedule that fails is
// a story, and can be shortened and kept as one. Each replica is a real one
// (package replica) on a log in memory, or on a real store whose power can go
// at any write. Nothing here reads a clock or starts a goroutine.
//
// # Places
//
//	house founds "Quill Hollow" owner Ada    makes the farm; Ada is its owner
//	server keeps                             a replica that writes nothing
//	cab joins by inv                         a device that takes up an invite
//	cab anew by inv2                         a new identity for a forked device
//
// # Writing
//
//	house: oats = lot species oat bag 50 lb
//	cab: fill box grain with oats bags 2
//	cab (Ben): sign item 1 of h1
//
// A line may begin with a name for its entry, which later lines refer to; a
// new thing without a name of its own is called by it. The words of each kind
// of body are in words.go. A line takes a minute.
//
// # Meeting
//
//	cab meets house                     until neither lacks anything
//	all meet                            everyone, until it is quiet
//	cab calls server [bytes 300] [lost | unanswered | twice]
//	cab posts m1 to server              a call that stays under way
//	m1 arrives                          now, or again; its answer, if it comes, is m1's too
//	m1 returns
//	cab carries c1                      all that it holds, as a file
//	house takes c1 [cut 2]              of it the first so many runs
//
// # Trouble
//
//	wait 3h
//	clock of cab +2y                    from the true time; jumps as often as you like
//	cab crashes                         and is started again
//	cab power 3                         goes off at the third write from now
//	copy cab c2
//	restore cab c2                      goes on from the old copy
//
// # Lying
//
//	mal forges yard 17 hold why pin     an entry in which nothing needs to be so; what lies goes by the number
//	mal undoes house 17 cab             stops a device, and takes in again what that took, or what there is not
//	mal answers house 17 stored         house asks, in the client's own way, and is lied to: stored,
//	                                    generation, replay, withhold
//	mal fakes house 17 note that x      in another device's log, under its own key
//	mal crowds house 17 [formal]        new devices that ask to join, on an invite or on none
//	mal floods house 17                 until it is refused
//	server rebuilds                     an honest place that loses its store, and starts anew
//	house ends mal                      the founder stops it; who belongs, what is stored, and that all
//	                                    write and come to ready is looked at, then and each time again
//
// # Looking
//
//	expect everyone: doubts ready
//	  doubt two-settings, field.dial(box(grain)): a, b
//
// What stands indented below is what the named replica shows of the named
// matters: see look.go.
package simtest
