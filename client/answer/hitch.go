package answer

// Hitch is how the hitch of a drill stands, as `turnrow hitch show` prints it.
type Hitch struct {
	Drill    string   `json:"drill"`         // its name
	Ready    bool     `json:"ready"`         // every required check is signed and no hold is open, as far as this device knows
	Missing  []string `json:"missing"`       // what stands against it, in words
	Holds    []Hold   `json:"holds"`         // open
	Signed   []Check  `json:"signed"`        // checks
	Unsigned []ToSign `json:"unsigned"`      // checks
	Tractor  string   `json:"tractor"`       // in words; empty where nobody said
	Version  int64    `json:"version"`       // of the list of checks
	New      []string `json:"new"`           // of the missing, those of a newer list than the hitch was begun on
	Released []Hold   `json:"released"`      // holds
	Met      *string  `json:"met"`           // when this device last exchanged with another, RFC 3339; null for never
	Waiting  []Hold   `json:"holds_waiting"` // open too, by devices that wait to be let in: they stop work
	Late     []Hold   `json:"holds_late"`    // of a stopped device, past its first: they stop nothing
}

// ToSign is a check that nobody has signed.
type ToSign struct {
	Item     int64  `json:"item"`     // its number, from 1
	Name     string `json:"name"`     // its words
	Required bool   `json:"required"` // the drill is not ready without
}

// Check is a check that somebody signed.
type Check struct {
	Entry    string `json:"entry"`        // ID of the signature
	Item     int64  `json:"item"`         // its number, from 1
	Name     string `json:"name"`         // its words
	Required bool   `json:"required"`     // the drill is not ready without
	By       string `json:"by"`           // the person's name
	On       string `json:"on,omitempty"` // the device, where it is another person's
	Wall     string `json:"wall"`         // by that device's clock, RFC 3339
}

// Hold is a stop that somebody called.
type Hold struct {
	Entry      string   `json:"entry"`                 // its ID
	By         string   `json:"by"`                    // the person's name
	On         string   `json:"on,omitempty"`          // the device, where it is another person's
	Why        string   `json:"why"`                   // in their words
	Wall       string   `json:"wall"`                  // by that device's clock, RFC 3339
	ReleasedBy string   `json:"released_by,omitempty"` // the person's name; left out while it is open
	ReleasedOn string   `json:"released_on,omitempty"` // the device, where it is another person's
	Seen       []Saw    `json:"seen"`                  // who has seen it, each person as they first said so
	NotYet     []string `json:"not_seen"`              // names of those who may drive the drill and are not known to have seen it, while it is open
}

// Saw is that a person has seen a hold.
type Saw struct {
	Entry string `json:"entry"`        // ID of the entry that says so
	By    string `json:"by"`           // the person's name
	On    string `json:"on,omitempty"` // the device, where it is another person's
	Wall  string `json:"wall"`         // by that device's clock, RFC 3339
}
