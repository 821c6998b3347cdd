package answer

type Ground struct {
	Ground           string    `json:"ground"`
	Acres            Number    `json:"acres"`
	AcresDone        *Number   `json:"acres_done"` // null where nobody said where the counter stood when work began
	AcresDoneAtLeast Number    `json:"acres_done_at_least"`
	Slope            *Number   `json:"slope"`
	State            string    `json:"state"`
	Finished         bool      `json:"finished"`
	Sown             []Sown    `json:"sown"`
	Plan             []Planned `json:"plan"`
	Doubted          []string  `json:"doubted"` // the open doubts that its figures rest on, by ID
}

type Sown struct {
	Lot        string  `json:"lot"`
	Box        string  `json:"box"`
	Lb         *Number `json:"lb"` // null where no rate is known of some of it
	LbAtLeast  Number  `json:"lb_at_least"`
	LbPerAc    *Number `json:"lb_per_ac"` // null where the acres are not known
	AimLbPerAc *Number `json:"aim_lb_per_ac"`
}

type Plans struct {
	Ground   []Plan    `json:"ground"`
	Order    []Order   `json:"order"`
	Cautions []Caution `json:"cautions"`
}

type Plan struct {
	Ground string    `json:"ground"`
	Acres  Number    `json:"acres"`
	Seed   []Planned `json:"seed"`
}

type Planned struct {
	Lot         string  `json:"lot"`
	Box         string  `json:"box"`
	LiveLbPerAc *Number `json:"live_lb_per_ac"`
	SeedsPerFt2 *Number `json:"seeds_per_ft2"`
	BulkLbPerAc *Number `json:"bulk_lb_per_ac"`
	Lb          *Number `json:"lb"`
	Why         string  `json:"why,omitempty"` // why the bulk rate is not known
}

type Order struct {
	Lot       string   `json:"lot"`
	Lb        Number   `json:"lb"`
	OnHandLb  Number   `json:"on_hand_lb"`
	Bags      *int64   `json:"bags"` // to buy; null where a bag's mass is not known
	Cost      *Number  `json:"cost"`
	CostPerAc *Number  `json:"cost_per_ac"`
	NoArea    []string `json:"without_area"` // pieces that it is planned on and whose area is not set: not in lb
}

type Look struct {
	Ground  string `json:"ground"`
	Species string `json:"species"`
	Sown    string `json:"sown"`
	First   string `json:"first"`
	Last    string `json:"last"`
	Count   string `json:"count"` // the stand is counted from this day on
}
