package conflict

// Words is the kind in plain words, such as "two settings of a dial"; a kind
// of a version to come is as it is written.
func (k DoubtKind) Words() string {
	if w, ok := doubtWords[k]; ok {
		return w
	}
	return string(k)
}

var doubtWords = map[DoubtKind]string{
	TwoSettings:    "two settings of a dial",
	DoubleEntry:    "perhaps written twice",
	TwoPlans:       "set two ways",
	UnprovedRate:   "a rate that no catch backs",
	CounterBack:    "the counter went back",
	CounterBegin:   "where work began is not known",
	TwoBegins:      "two begins",
	TwoPieces:      "one stretch for two pieces of ground",
	Balance:        "the seed does not add up",
	MixedLots:      "not the seed that is planned",
	TwoSeeds:       "two seeds in one box",
	WorkedUnready:  "worked while not ready",
	NoRight:        "written without the right",
	AfterStop:      "written after the device was stopped",
	SameName:       "one name for two things",
	WrongClock:     "a clock that is wrong",
	Forked:         "one device, two logs",
	AmendedApart:   "amended two ways",
	OneInvite:      "one invite, two devices",
	UnlikelyCatch:  "an unlikely catch",
	OverFull:       "more than the box holds",
	LittlePoured:   "hardly anything poured",
	PouredTwice:    "filled twice, or written twice",
	LevelTooHigh:   "more than can be in the box",
	LevelTooLow:    "far less than can be in the box",
	OverDrained:    "more let out than was in",
	MoreThanCame:   "more used than came",
	NearName:       "two names, perhaps one thing",
	SameDial:       "a dial that was not moved",
	UnlikelyDial:   "a dial far from the aim or the chart",
	UnlikelyRate:   "an unlikely rate",
	UnlikelyWidth:  "a measure that no drill has",
	OtherSpecies:   "not the species that is meant",
	TooManyAcres:   "more acres than the piece has",
	TooFast:        "faster than a drill goes",
	TooFarBack:     "a reading from before the work",
	RanDry:         "a box that ran dry",
	NearSpecies:    "a species that may be misspelt",
	ChangedSpecies: "a lot with other seed than was poured",
	OtherLabel:     "a label that names other seed",
	UnclearCoating: "a coating that may be counted twice",
	FinishedEarly:  "finished before all was counted",
}
