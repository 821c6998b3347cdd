package answer

// Ground is a piece of ground. `turnrow ground` prints a list of them.
type Ground struct {
	Ground           string    `json:"ground"`              // its name
	Acres            Number    `json:"acres"`               // ac, as set or by its boundary; 0 where neither is known
	AcresDone        *Number   `json:"acres_done"`          // ac by the counter; null where nobody said where the counter stood when work began
	AcresDoneAtLeast Number    `json:"acres_done_at_least"` // ac that are known to be done
	Slope            *Number   `json:"slope"`               // a fraction: 0.12 is 12 %; null where nobody said
	State            string    `json:"state"`               // how it lies, in words; empty where nobody said
	Finished         bool      `json:"finished"`            // somebody said that it is
	Sown             []Sown    `json:"sown"`                // each seed that went out there
	Plan             []Planned `json:"plan"`                // each seed that is planned there
	Doubted          []string  `json:"doubted"`             // IDs of the open doubts that its figures rest on
}

// Sown is seed of a lot that went out of a box on a piece of ground.
type Sown struct {
	Lot        string  `json:"lot"`           // its name
	Box        string  `json:"box"`           // its name
	Lb         *Number `json:"lb"`            // lb; null where no rate is known of some of it
	LbAtLeast  Number  `json:"lb_at_least"`   // lb that are known to have gone out
	LbPerAc    *Number `json:"lb_per_ac"`     // lb/ac; null where the acres are not known
	AimLbPerAc *Number `json:"aim_lb_per_ac"` // lb/ac that was planned; null where it was not
}

// Plans is what `turnrow plan` prints.
type Plans struct {
	Ground   []Plan    `json:"ground"`   // pieces on which anything is planned
	Order    []Order   `json:"order"`    // lots that are wanted
	Cautions []Caution `json:"cautions"` // to weigh before sowing
}

// Plan is what is planned for a piece of ground.
type Plan struct {
	Ground string    `json:"ground"` // its name
	Acres  Number    `json:"acres"`  // ac; 0 where not known
	Seed   []Planned `json:"seed"`   // each
}

// Planned is one seed of a plan.
type Planned struct {
	Lot         string  `json:"lot"`            // its name
	Box         string  `json:"box"`            // its name
	LiveLbPerAc *Number `json:"live_lb_per_ac"` // lb/ac of live seed; null where the aim is seeds
	SeedsPerFt2 *Number `json:"seeds_per_ft2"`  // live seeds to the square foot; null where the aim is a mass
	BulkLbPerAc *Number `json:"bulk_lb_per_ac"` // lb/ac of what is in the bag; null where it is not known
	Lb          *Number `json:"lb"`             // lb of it for all of the piece; null where it is not known
	Why         string  `json:"why,omitempty"`  // why the bulk rate is not known; left out where it is
}

// Order is what the plans want of a lot, and what of that must be bought.
type Order struct {
	Lot       string   `json:"lot"`          // its name
	Lb        Number   `json:"lb"`           // lb wanted
	OnHandLb  Number   `json:"on_hand_lb"`   // lb that came, less what left the farm
	Bags      *int64   `json:"bags"`         // to buy; null where a bag's mass is not known
	Cost      *Number  `json:"cost"`         // of them, in the farm's money; null without a price
	CostPerAc *Number  `json:"cost_per_ac"`  // in the farm's money to the acre; null without a price
	NoArea    []string `json:"without_area"` // names of the pieces that it is planned on and whose area is not set: not in lb
}

// Look is when to look for plants of a kind on a piece of ground. `turnrow
// calendar` prints a list of them.
type Look struct {
	Ground  string `json:"ground"`  // its name
	Species string `json:"species"` // its name
	Sown    string `json:"sown"`    // first day, as 2026-09-14
	First   string `json:"first"`   // day on which it may show
	Last    string `json:"last"`    // day on which all should show
	Count   string `json:"count"`   // day from which the stand is counted
}
