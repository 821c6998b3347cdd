package answer

// Spot is a spot of ground to know of. `turnrow spot show` prints a list of them.
type Spot struct {
	Entry     string   `json:"entry"`     // that noted it
	What      string   `json:"what"`      // thin, blocked row, stone or other
	Ground    string   `json:"ground"`    // name of the piece that it is on; empty where nobody said
	Latitude  *float64 `json:"latitude"`  // degrees (WGS 84), to seven decimals; null where nobody said, as each figure below
	Longitude *float64 `json:"longitude"` // degrees, likewise
	WithinM   *Number  `json:"within_m"`  // m that the place may be off
	LengthM   *Number  `json:"length_m"`  // m
	WidthM    *Number  `json:"width_m"`   // m
	Row       int64    `json:"row"`       // of the drill, from 1 on the left; 0 where nobody said
	Text      string   `json:"text"`      // what else was said
}

// Errand is seed that is wanted and not there yet. `turnrow bring show` prints a
// list of them.
type Errand struct {
	Entry string  `json:"entry"` // that asked for it
	State string  `json:"state"` // wanted, or on the way
	Lot   string  `json:"lot"`   // its name
	Bags  *Number `json:"bags"`  // null where a mass is wanted
	Lb    *Number `json:"lb"`    // lb; null where bags are wanted
	Box   string  `json:"box"`   // name of the box that it is for; empty where nobody said
	Side  string  `json:"side"`  // name of its compartment; empty for the whole box
	Gate  string  `json:"gate"`  // where to bring it; empty where nobody said
	Note  string  `json:"note"`  // what else was said
}
