package exchange

import "turnrow/sync/entry"

// The bounds on what replicas send each other. Whoever is over one is told so
// with ErrBound, or ErrBusy where waiting helps; nothing is lost by it.
const (
	// MaxCall is the bytes of one message: what a slow radio link still moves
	// within CallSeconds, and what a receiver has to hold in memory at once.
	MaxCall = 4 << 20
	// MaxBatch is the bytes of runs in one message. What MaxCall has beyond it
	// is for the frontiers (up to MaxDevices of about 40 bytes) and refusals.
	MaxBatch = 3 << 20
	// UsualBatch is the bytes of runs sent where nobody asked for more or
	// less: a few seconds of a rural link.
	UsualBatch = 1 << 20
	// MaxRun is the bytes of a run, but for one whose single entry is larger.
	// A replica can cut a log only where it holds a signature, which is where
	// a run ended: short runs keep the record cuttable for every later link,
	// and a signature for 64 KiB is still next to nothing.
	MaxRun = 64 << 10
	// MaxRuns is the runs of one message: one for each device of a large farm
	// that has a little to say, and the checking of as many signatures.
	MaxRuns = 2 * entry.MaxDevices
	// ShowFork is the bytes of a log that are sent again to show a device's fork
	// to somebody who holds another branch: from well before the branches can
	// have diverged, thousands of the device's entries.
	ShowFork = 256 << 10
	// MaxForks is the other branches of one device's log that a replica keeps as
	// they come. A crew makes one by restoring an old copy; only somebody with the
	// device's key could make many. Where there are as many, all that counts of
	// the log is what others had seen and named: that is the same at every
	// replica, whichever branches each met first.
	MaxForks = 8

	// CallsInFlight is the exchanges that one device may have open at once: it
	// needs one, and one more while a cut call has not been noticed yet.
	CallsInFlight = 4
	// WatchesPerDevice is the watches that one device may hold open at once,
	// for the same reason.
	WatchesPerDevice = 4
	// CallsAtOnce is the exchanges of all devices together: each may hold a
	// request and an answer of MaxCall, so this bounds a server's memory.
	CallsAtOnce = 64
	// WatchesAtOnce is the watches of all devices together, at some 38 kB for
	// one with a connection of its own.
	WatchesAtOnce = 20_000
	// CallsPerSecond is the calls of one device that are let through in the long
	// run, and CallsBurst those that it may make at once before that: a device
	// needs a handful for a catch-up of any length, and one for each note.
	CallsPerSecond = 50
	CallsBurst     = 3_000
	// RetryMillis is what a device is told to wait where there was no room for
	// its call: that long, and up to as long again by chance, so that those
	// who were sent away together don't come back together.
	RetryMillis = 1_000
	// MaxStrangers is the devices of which a replica keeps logs although the
	// record it holds does not say that they belong: a joiner's log may come by
	// way of others before its invite does. Far more than ever join in a day,
	// and few enough that nobody can fill the places of entry.MaxDevices.
	MaxStrangers = 100
	// InviteLogs is the logs that are kept for each invite while their devices
	// wait to be let in, first come: one is the rule, and whoever has the invite's
	// text can make more.
	InviteLogs = 4
	// StrangerEntries and StrangerBytes are what is kept of each, of strangers and
	// of who waits: a joiner's first days out of range.
	StrangerEntries = 10_000
	StrangerBytes   = 1 << 20
	// JoinsAtOnce is the logs of devices that ask to join that a server takes at
	// once.
	JoinsAtOnce = 16
	// MaxJoin is the bytes of entries that come with one request to join: a run.
	MaxJoin = 2 * MaxRun
	// MaxFarms is the farms of one server: a district's, not a country's. One
	// that nobody asks for costs a hundred bytes.
	MaxFarms = 10_000
	// OpenInvites is the invites of one farm that are neither used nor ended.
	OpenInvites = 100

	// CallSeconds is the time that a call may take at either side: MaxBatch at
	// 250 kbit/s.
	CallSeconds = 120
	// TokenSeconds is how long a call's token counts.
	TokenSeconds = 300
	// LeewaySeconds is how far apart two honest clocks may be without a word.
	LeewaySeconds = 60
	// InviteHours is how long an invite counts: until the same time tomorrow.
	InviteHours = 24
	// FoundingHours is how long a founding code counts: a week to get round to
	// it, and then a new one costs whoever runs the server one command.
	FoundingHours = 7 * 24
	// ConnectionsAtOnce is the connections of a server: those of its watches,
	// and as many phones again that come and go.
	ConnectionsAtOnce = 2 * WatchesAtOnce
	// MeetingConnections is the connections of a device that meets others: several
	// for each device of a crew, on a network that anybody may be on.
	MeetingConnections = 256
	// MeetingPerAddress is those of them from one address: a crew behind a router
	// of its own has one, and somebody who opens all leaves room for the others.
	MeetingPerAddress = MeetingConnections / 8
)
