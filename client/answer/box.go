package answer

// Box is a seed box as it stands now. `turnrow boxes` prints a list of them.
type Box struct {
	Box              string     `json:"box"`                  // its name
	Drill            string     `json:"drill"`                // that it is on, by its name
	Dial             *Number    `json:"dial"`                 // as it stands there; a mark's place from 1, where it has marks; null where nobody wrote it, or its sides differ
	Mark             string     `json:"mark,omitempty"`       // that the dial stands at, where it has marks
	Lots             []LotInBox `json:"lots"`                 // what is in it, from the bottom up
	LeftLb           Number     `json:"left_lb"`              // lb in it, as estimated
	LeftStdLb        Number     `json:"left_std_lb"`          // lb, its standard uncertainty
	LeftLowLb        Number     `json:"left_low_lb"`          // lb, the low end of its 90 % interval
	LeftHighLb       Number     `json:"left_high_lb"`         // lb, the high end
	LeftOpen         bool       `json:"left_open"`            // some went out at no known rate: what is left is the most
	RateLbPerAc      *Number    `json:"rate_lb_per_ac"`       // lb/ac that it gives at its dial; null where that is not known
	RateLowLbPerAc   *Number    `json:"rate_low_lb_per_ac"`   // lb/ac, the low end of its 90 % interval
	RateHighLbPerAc  *Number    `json:"rate_high_lb_per_ac"`  // lb/ac, the high end
	Basis            string     `json:"basis"`                // what the rate rests on, in words
	FieldLowLbPerAc  *Number    `json:"field_low_lb_per_ac"`  // lb to the true acre in the field, the low end of a 90 % interval
	FieldHighLbPerAc *Number    `json:"field_high_lb_per_ac"` // lb to the true acre, the high end
	Weighed          bool       `json:"weighed"`              // a run that was weighed tells of the rate
	AimLbPerAc       *Number    `json:"aim_lb_per_ac"`        // lb/ac that the plan wants; null where it names none, or several
	AcresLeft        *Acres     `json:"acres_left"`           // acres until it is dry; null where no rate is known
	Aims             []Aim      `json:"aims"`                 // on each piece that it is planned for and that is not finished
	Sides            []Side     `json:"sides"`                // none where the box has one compartment
	Doubted          []string   `json:"doubted"`              // IDs of the open doubts that its figures rest on
	BoxAdvice
}

// LotInBox is seed of one lot in a box, or in one side of it.
type LotInBox struct {
	Lot  string `json:"lot"`            // its name
	Lb   Number `json:"lb"`             // lb
	Side string `json:"side,omitempty"` // by its name; left out for the whole box
}

// Aim is what the plan of a piece of ground wants of a box.
type Aim struct {
	Ground  string `json:"ground"`    // its name
	LbPerAc Number `json:"lb_per_ac"` // lb/ac
}

// Acres is an area that is not known exactly: it is below each figure with
// that chance.
type Acres struct {
	P10 Number `json:"p10"` // ac, one chance in ten
	P50 Number `json:"p50"` // ac, as likely as not
	P90 Number `json:"p90"` // ac, nine chances in ten
}

// Side is one compartment of a box that has several.
type Side struct {
	Side            string  `json:"side"`                // its name
	Rows            *int    `json:"rows"`                // that it feeds; null where nobody said and they do not divide alike
	Dial            *Number `json:"dial"`                // as it stands there; null where nobody wrote it
	Lot             string  `json:"lot"`                 // in it, by its name
	Lb              Number  `json:"lb"`                  // lb in it
	RateLbPerAc     *Number `json:"rate_lb_per_ac"`      // lb/ac on the ground under its rows; null where that is not known
	RateLowLbPerAc  *Number `json:"rate_low_lb_per_ac"`  // lb/ac, the low end of its 90 % interval
	RateHighLbPerAc *Number `json:"rate_high_lb_per_ac"` // lb/ac, the high end
	AcresLeft       *Acres  `json:"acres_left"`          // acres of the whole box's width until it is dry; null where no rate is known
}

// BoxAdvice is what follows from how a box stands: where to set its dial, when
// it runs dry, what to pour, what is in it that should not be. Each is null
// where nothing follows.
type BoxAdvice struct {
	ForAim        *DialForAim `json:"for_aim"`         // where to set the dial
	MinutesLeft   *Minutes    `json:"minutes_left"`    // minutes until it is dry, at the pace of the last readings
	ToCatch       *ToCatch    `json:"to_catch"`        // what a catch at the aim weighs
	FillDue       *FillDue    `json:"fill_due"`        // when it wants seed
	DryFirst      string      `json:"dry_first"`       // the side that runs dry first; empty where there is one
	Finish        *Pour       `json:"finish"`          // what to pour to finish the ground being worked
	Leftover      []Leftover  `json:"leftover"`        // of lots that are none of the plan's
	Drift         *Drift      `json:"drift"`           // how what was weighed departs from what chart and catches say
	OffChartTimes *Number     `json:"off_chart_times"` // what the catches show beside the chart, as a factor; null where the two agree
}

// DialForAim is where a dial is set for the aim.
type DialForAim struct {
	Dial    Number `json:"dial"`    // to set
	Low     Number `json:"low"`     // the low end of its 90 % interval, no further than the dial goes
	High    Number `json:"high"`    // the high end
	Reached bool   `json:"reached"` // the dial goes as far; else Dial is its nearest end
	Next    string `json:"next"`    // what to do: go, move the dial, catch once more, weigh again, catch at another dial, out of reach
	Why     string `json:"why"`     // the reason for it, in words
}

// Minutes is a time that is not known exactly: it is below each figure with
// that chance.
type Minutes struct {
	P10 Number `json:"p10"` // min, one chance in ten
	P50 Number `json:"p50"` // min, as likely as not
	P90 Number `json:"p90"` // min, nine chances in ten
}

// ToCatch is the mass to catch at the aim, over a run.
type ToCatch struct {
	Grams Number `json:"grams"`           // g in all
	Turns Number `json:"turns,omitempty"` // of the wheel; left out for a distance
	Rows  int64  `json:"rows,omitempty"`  // caught; left out for a width
}

// FillDue is when a box wants seed next: before it runs dry in all but one
// case of ten.
type FillDue struct {
	Reading Number `json:"reading"`         // the counter's, in its own unit
	Clock   string `json:"clock,omitempty"` // RFC 3339, at the pace of the last readings; left out where that is not known
}

// Pour is what to pour to finish the ground being worked.
type Pour struct {
	Ground   string     `json:"ground"`    // its name
	LikelyLb Number     `json:"likely_lb"` // lb to pour in all, if the rate is as estimated
	Lb       Number     `json:"lb"`        // lb at most: to last with nine chances in ten
	NowLb    Number     `json:"now_lb"`    // lb of that which the box has room for now
	LaterLb  Number     `json:"later_lb"`  // lb of it to pour later
	Bags     int64      `json:"bags"`      // that hold all of it; 0 where a bag's mass is not known
	Sides    []SidePour `json:"sides"`     // none where the box has one compartment
}

// SidePour is the same for one side of a split box.
type SidePour struct {
	Side     string `json:"side"`      // its name
	LikelyLb Number `json:"likely_lb"` // lb, if the rate is as estimated
	Lb       Number `json:"lb"`        // lb at most
}

// Leftover is seed in a box that the plan of the ground does not want there.
type Leftover struct {
	Lot     string `json:"lot"`       // its name
	Lb      Number `json:"lb"`        // lb
	LbPerAc Number `json:"lb_per_ac"` // lb/ac that it goes out at
}

// Drift is how far a rate has moved from what it was, or lies from what it was
// meant to be.
type Drift struct {
	ChangeShare    Number `json:"change_share"`    // a fraction: 0.08 is 8 % more
	LowShare       Number `json:"low_share"`       // the low end of its 90 % interval, a fraction
	HighShare      Number `json:"high_share"`      // the high end
	CertaintyShare Number `json:"certainty_share"` // level, from 0 to 1, of the widest interval that leaves out "no change"
}
