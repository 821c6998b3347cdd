package answer

type Member struct {
	Person  string   `json:"person"`
	Role    string   `json:"role"`
	Stopped bool     `json:"stopped"`
	Devices []Device `json:"devices"`
}

type Device struct {
	Device  string `json:"device"`
	Name    string `json:"name"`
	Joined  bool   `json:"joined"`
	Stopped bool   `json:"stopped"`
	Role    string `json:"role"` // what it may do: its person's, or less
	Entries uint64 `json:"entries"`
	State   string `json:"state,omitempty"` // of one that is no person's: porter, waits or refused
}

// Founded is what founding and joining answer.
type Founded struct {
	Farm   string `json:"farm"`
	Device string `json:"device"`
	Person string `json:"person"`
	Away   bool   `json:"away"` // the server was not reached yet
}

// Founding is what founding answers.
type Founding struct {
	Founded
	Recovery string `json:"recovery"` // the code on paper, shown this once
}

type Joined struct {
	Founded
	Admitted bool `json:"admitted"` // the device was let in
}

type Invited struct {
	Invite  string `json:"invite"`
	Person  string `json:"person"`
	Role    string `json:"role"`
	Expires string `json:"expires"`
	Away    bool   `json:"away"` // the server was not reached, and does not have it yet
}

type Recovered struct {
	Entry    string `json:"entry"` // this device's first
	Farm     string `json:"farm"`
	Device   string `json:"device"`
	Away     bool   `json:"away"`     // the server was not reached yet
	Recovery string `json:"recovery"` // the next code on paper, shown this once
}

type Stopped struct {
	Entry       string   `json:"entry"`
	Ended       []string `json:"ended"`   // devices of the person who was stopped
	Void        int      `json:"void"`    // entries that counted, and count no more
	PutOut      []string `json:"put_out"` // devices that the stop puts out besides
	BroughtBack bool     `json:"brought_back"`
}
