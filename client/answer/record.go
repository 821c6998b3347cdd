package answer

// Line is an entry as the log shows it. `turnrow log` and `turnrow why` print
// a list of them.
type Line struct {
	Entry   string `json:"entry"`              // its ID
	Wall    string `json:"wall"`               // the device's own clock, right or wrong, RFC 3339
	Person  string `json:"person"`             // the name of who wrote it
	Device  string `json:"device"`             // the name of the one that it was written on
	Kind    string `json:"kind"`               // such as filled
	What    string `json:"what"`               // in words
	Struck  bool   `json:"struck"`             // it no longer counts
	Amended bool   `json:"amended"`            // it says something else by now
	LeftOut string `json:"left_out,omitempty"` // why it does not count; left out where it does
	Void    string `json:"void,omitempty"`     // why a signature does not count for its hitch; left out where it does
}

// Status is how this device stands, as `turnrow status` prints it.
type Status struct {
	Farm     string        `json:"farm"`      // its ID
	FarmName string        `json:"farm_name"` // its name
	Device   string        `json:"device"`    // its ID
	Person   string        `json:"person"`    // the name of whose it is
	Role     string        `json:"role"`      // what that person may do: owner, operator, helper or viewer
	Waits    bool          `json:"waits"`     // to be let in
	Stopped  bool          `json:"stopped"`   // what this device writes is kept apart
	Copied   bool          `json:"copied"`    // a copy writes under its name: it writes nothing until it joins anew
	Asking   int           `json:"asking"`    // devices that wait for an owner to let them in
	Server   string        `json:"server"`    // HOST:PORT, empty where there is none
	Entries  int           `json:"entries"`   // in the record here
	Pending  int           `json:"pending"`   // of this device, not yet known elsewhere
	Waiting  int           `json:"waiting"`   // whose causes are not here yet
	Doubts   int           `json:"doubts"`    // open
	Met      *string       `json:"met"`       // when the last exchange with anybody was, RFC 3339; null for never
	Clocks   []string      `json:"clocks"`    // whose date or time seems to be far off, and what to do, in words
	Drills   []DrillStatus `json:"drills"`    // each
}

// DrillStatus is whether a drill is ready, and where its counter stands.
type DrillStatus struct {
	Drill   string  `json:"drill"`   // its name
	Ready   bool    `json:"ready"`   // as of Hitch
	Reading *Number `json:"reading"` // the counter's latest, in its own unit; null where there is none
}

// Digest is what `turnrow digest` prints: two devices with one digest hold one
// state.
type Digest struct {
	Digest   string            `json:"digest"`   // in hex
	Entries  uint64            `json:"entries"`  // that it is over
	Frontier map[string]uint64 `json:"frontier"` // how many entries of each device, by its ID
}

// Verified is what `turnrow verify` prints.
type Verified struct {
	OK      bool     `json:"ok"`      // nothing is wrong
	Entries uint64   `json:"entries"` // that were looked at
	Faults  []string `json:"faults"`  // in words
}

// AuditFile is what `turnrow audit --out` prints.
type AuditFile struct {
	Entries uint64 `json:"entries"` // in the file
}

// FileVerified is what `turnrow verify --file` prints.
type FileVerified struct {
	OK      bool     `json:"ok"`      // nothing is wrong
	Entries uint64   `json:"entries"` // in the file
	Devices int      `json:"devices"` // that wrote them
	Farm    string   `json:"farm"`    // its ID
	Name    string   `json:"name"`    // of the farm
	Faults  []string `json:"faults"`  // in words
	Words   []string `json:"words"`   // said otherwise than this version reads the bytes
}

// Copied is what `turnrow backup` and `turnrow restore` print.
type Copied struct {
	Entries uint64 `json:"entries"` // in the copy
}

// Carried is what `turnrow carry` prints.
type Carried struct {
	Entries  int      `json:"entries"`  // that went into the file, or were new in it
	Refused  []string `json:"refused"`  // runs that were not taken, in words
	Admitted []string `json:"admitted"` // names of devices that this one let in: they had asked on an invite
}

// Synced is what an exchange prints.
type Synced struct {
	Sent       int      `json:"sent"`        // entries
	Received   int      `json:"received"`    // entries
	RoundTrips int      `json:"round_trips"` // it took
	BytesOut   int64    `json:"bytes_out"`   // bytes
	BytesIn    int64    `json:"bytes_in"`    // bytes
	Pending    int      `json:"pending"`     // entries of this device, not yet known elsewhere
	Away       bool     `json:"away"`        // the other was not reached
	BrokeOff   bool     `json:"broke_off"`   // the other answered, and was lost before the end
	Anew       bool     `json:"anew"`        // the other had started anew: all was offered again
	Refused    []string `json:"refused"`     // runs that either side did not take, in words
	Admitted   []string `json:"admitted"`    // names of devices that this one let in: they had asked on an invite
	Waits      bool     `json:"waits"`       // this device waits to be let in: the other gave it nothing yet
	Clocks     []string `json:"clocks"`      // whose date or time seems to be far off, and what to do, in words
}

// Watched is what `turnrow sync --watch` prints, a line for each change.
type Watched struct {
	Entries int `json:"entries"` // in the record here
	Waiting int `json:"waiting"` // whose causes are not here yet
	Pending int `json:"pending"` // of this device, not yet known elsewhere
	Doubts  int `json:"doubts"`  // open
}

// Meeting is what `turnrow meet` prints as it begins.
type Meeting struct {
	Address string   `json:"address"` // HOST:PORT that others call
	Clocks  []string `json:"clocks"`  // whose date or time seems to be far off, and what to do, in words
}

// Page is where a page is, as `turnrow page` prints it.
type Page struct {
	Address string `json:"address"` // for a browser
}

// Demo is what the demo ends with.
type Demo struct {
	Farm         string    `json:"farm"`          // its name
	DigestsEqual bool      `json:"digests_equal"` // all replicas came to one state
	Entries      uint64    `json:"entries"`       // in the record
	Replicas     []Replica `json:"replicas"`      // each
	Doubts       []Doubt   `json:"doubts"`        // that are left
	Boxes        []Box     `json:"boxes"`         // as they stand
	Ground       []Ground  `json:"ground"`        // as it stands
	Hitch        Hitch     `json:"hitch"`         // as it stands
	Changes      []Line    `json:"changes"`       // who moved a dial, when, why
}

// Replica is one device's or server's record.
type Replica struct {
	Replica string `json:"replica"` // its name
	Entries uint64 `json:"entries"` // in it
	Digest  string `json:"digest"`  // in hex
}
