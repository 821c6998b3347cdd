package farm

// DoubtKind names a kind of doubt.
type DoubtKind string

// The kinds of doubt.
const (
	TwoSettings   DoubtKind = "two-settings"   // a dial moved apart to different marks
	DoubleEntry   DoubtKind = "double-entry"   // one fill written twice, it seems
	TwoPlans      DoubtKind = "two-plans"      // one field set apart to different values
	UnprovedRate  DoubtKind = "unproved-rate"  // seed went out that no catch backs
	CounterBack   DoubtKind = "counter-back"   // a reading below one that its writer knew
	CounterBegin  DoubtKind = "counter-begin"  // nobody said where the counter stood when work began
	TwoBegins     DoubtKind = "two-begins"     // two begins, written apart, that differ
	TwoPieces     DoubtKind = "two-pieces"     // one stretch of the counter claimed for two pieces of ground
	Balance       DoubtKind = "balance"        // a level further off than the uncertainty allows
	MixedLots     DoubtKind = "mixed-lots"     // a box holds what the plan does not put there
	TwoSeeds      DoubtKind = "two-seeds"      // a second species poured onto the first: mixed, or one above the other
	WorkedUnready DoubtKind = "worked-unready" // the counter moved while the drill was not ready
	NoRight       DoubtKind = "no-right"       // written by someone without the right
	AfterStop     DoubtKind = "after-stop"     // written on a device after it was stopped
	SameName      DoubtKind = "same-name"      // two things made apart under one name
	WrongClock    DoubtKind = "clock"          // a wall clock that others' entries contradict
	Forked        DoubtKind = "forked"         // one device wrote two logs
	AmendedApart  DoubtKind = "amended-apart"  // one entry amended apart to different words
	OneInvite     DoubtKind = "one-invite"     // two devices were let in on one invite
)
