package answer

// Member is a person of the crew. `turnrow crew` prints a list of them;
// devices that are no person's stand under an empty one.
type Member struct {
	Person  string   `json:"person"`  // the name
	Role    string   `json:"role"`    // what they may do: owner, operator, helper or viewer
	Stopped bool     `json:"stopped"` // they belong to the crew no more
	Devices []Device `json:"devices"` // theirs
}

// Device is a device of the crew.
type Device struct {
	Device  string `json:"device"`          // its ID
	Name    string `json:"name"`            // its name
	Joined  bool   `json:"joined"`          // it was let in
	Stopped bool   `json:"stopped"`         // what it writes is kept apart
	Role    string `json:"role"`            // what it may do: its person's, or less
	Entries uint64 `json:"entries"`         // of it that are here
	State   string `json:"state,omitempty"` // of one that is no person's: porter, waits or refused
}

// Founded is what founding and joining print.
type Founded struct {
	Farm   string `json:"farm"`   // its ID
	Device string `json:"device"` // ID of this one
	Person string `json:"person"` // the name of whose it is
	Away   bool   `json:"away"`   // the server was not reached yet
}

// Founding is what `turnrow found` prints.
type Founding struct {
	Founded
	Recovery string `json:"recovery"` // the code on paper, shown this once
}

// Joined is what `turnrow join` prints.
type Joined struct {
	Founded
	Admitted bool `json:"admitted"` // the device was let in
}

// Invited is what `turnrow invite` prints.
type Invited struct {
	Invite  string `json:"invite"`  // its text, a link: who has it comes in
	Person  string `json:"person"`  // the name of whom it is for
	Role    string `json:"role"`    // what they will be: owner, operator, helper or viewer
	Expires string `json:"expires"` // RFC 3339
	Away    bool   `json:"away"`    // the server was not reached, and does not have it yet
}

// Recovered is what `turnrow recover` prints.
type Recovered struct {
	Entry    string `json:"entry"`    // ID of this device's first
	Farm     string `json:"farm"`     // its ID
	Device   string `json:"device"`   // ID of this one
	Away     bool   `json:"away"`     // the server was not reached yet
	Recovery string `json:"recovery"` // the next code on paper, shown this once
}

// Stopped is what `turnrow stop` prints.
type Stopped struct {
	Entry       string   `json:"entry"`        // ID of the stop
	Ended       []string `json:"ended"`        // devices of the person who was stopped
	Void        int      `json:"void"`         // entries that counted, and count no more
	PutOut      []string `json:"put_out"`      // devices that the stop puts out besides
	BroughtBack bool     `json:"brought_back"` // those were let in again
}
