package answer

// View is a farm as it stands on this device, all in one, as package mobile
// gives it to an app.
type View struct {
	Version int       `json:"version"` // of the answers: Version
	Status  Status    `json:"status"`  // of this device
	Boxes   []Box     `json:"boxes"`   // each, of all drills
	Ground  []Ground  `json:"ground"`  // each piece
	Hitches []Hitched `json:"hitches"` // of each drill
	Lots    []string  `json:"lots"`    // names of all lots of seed
	Crew    []Member  `json:"crew"`    // each person, and devices that are nobody's
}

// Hitched is how the hitch of a drill stands, and which hitch that is.
type Hitched struct {
	Begun string `json:"begun"` // ID of the entry that began it, to sign its checks by; empty where none is begun
	Hitch
}

// Held is an open hold, and the drill that it stops.
type Held struct {
	Drill string `json:"drill"` // its name
	Hold
}
