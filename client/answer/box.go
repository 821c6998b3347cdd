package answer

type Box struct {
	Box              string     `json:"box"`
	Drill            string     `json:"drill"`
	Dial             *Number    `json:"dial"` // a mark's place, where it has marks
	Mark             string     `json:"mark,omitempty"`
	Lots             []LotInBox `json:"lots"`
	LeftLb           Number     `json:"left_lb"`
	LeftStdLb        Number     `json:"left_std_lb"`
	LeftLowLb        Number     `json:"left_low_lb"` // 90 %
	LeftHighLb       Number     `json:"left_high_lb"`
	LeftOpen         bool       `json:"left_open"` // some went out at no known rate: what is left is the most
	RateLbPerAc      *Number    `json:"rate_lb_per_ac"`
	RateLowLbPerAc   *Number    `json:"rate_low_lb_per_ac"`
	RateHighLbPerAc  *Number    `json:"rate_high_lb_per_ac"`
	Basis            string     `json:"basis"`
	FieldLowLbPerAc  *Number    `json:"field_low_lb_per_ac"` // 90 %, to the true acre
	FieldHighLbPerAc *Number    `json:"field_high_lb_per_ac"`
	Weighed          bool       `json:"weighed"` // a run that was weighed tells of the rate
	AimLbPerAc       *Number    `json:"aim_lb_per_ac"`
	AcresLeft        *Acres     `json:"acres_left"`
	Aims             []Aim      `json:"aims"`    // on each piece that it is planned for and that is not finished
	Sides            []Side     `json:"sides"`   // none where the box has one compartment
	Doubted          []string   `json:"doubted"` // the open doubts that its figures rest on, by ID
	BoxAdvice
}

type LotInBox struct {
	Lot  string `json:"lot"`
	Lb   Number `json:"lb"`
	Side string `json:"side,omitempty"`
}

type Aim struct {
	Ground  string `json:"ground"`
	LbPerAc Number `json:"lb_per_ac"`
}

type Acres struct {
	P10 Number `json:"p10"`
	P50 Number `json:"p50"`
	P90 Number `json:"p90"`
}

// Side is one compartment of a box that has several.
type Side struct {
	Side            string  `json:"side"`
	Rows            *int    `json:"rows"` // null where nobody said and they do not divide alike
	Dial            *Number `json:"dial"` // null where nobody wrote it
	Lot             string  `json:"lot"`
	Lb              Number  `json:"lb"`
	RateLbPerAc     *Number `json:"rate_lb_per_ac"` // to the ground under its rows
	RateLowLbPerAc  *Number `json:"rate_low_lb_per_ac"`
	RateHighLbPerAc *Number `json:"rate_high_lb_per_ac"`
	AcresLeft       *Acres  `json:"acres_left"`
}

// BoxAdvice is what follows from how a box stands: where to set its dial, when
// it runs dry, what to pour, what is in it that should not be.
type BoxAdvice struct {
	ForAim        *DialForAim `json:"for_aim"`
	MinutesLeft   *Minutes    `json:"minutes_left"`
	ToCatch       *ToCatch    `json:"to_catch"` // at the aim
	FillDue       *FillDue    `json:"fill_due"`
	DryFirst      string      `json:"dry_first"` // side
	Finish        *Pour       `json:"finish"`
	Leftover      []Leftover  `json:"leftover"`
	Drift         *Drift      `json:"drift"`
	OffChartTimes *Number     `json:"off_chart_times"` // what the catches show beside the chart; null where the two agree
}

type DialForAim struct {
	Dial    Number `json:"dial"`
	Low     Number `json:"low"`
	High    Number `json:"high"`
	Reached bool   `json:"reached"`
	Next    string `json:"next"` // go, move the dial, catch once more
	Why     string `json:"why"`
}

type Minutes struct {
	P10 Number `json:"p10"`
	P50 Number `json:"p50"`
	P90 Number `json:"p90"`
}

// ToCatch is the mass to catch at the aim, over a run.
type ToCatch struct {
	Grams Number `json:"grams"`
	Turns Number `json:"turns,omitempty"`
	Rows  int64  `json:"rows,omitempty"`
}

// FillDue is when a box wants seed next: before it runs dry in all but one case
// of ten.
type FillDue struct {
	Reading Number `json:"reading"`
	Clock   string `json:"clock,omitempty"` // RFC 3339, at the pace of the last readings
}

type Pour struct {
	Ground   string     `json:"ground"`
	LikelyLb Number     `json:"likely_lb"` // to pour in all, if the rate is as estimated
	Lb       Number     `json:"lb"`        // at most: to last with nine chances in ten
	NowLb    Number     `json:"now_lb"`    // of that
	LaterLb  Number     `json:"later_lb"`
	Bags     int64      `json:"bags"`  // that hold all of it; 0 where a bag's mass is not known
	Sides    []SidePour `json:"sides"` // none where the box has one compartment
}

// SidePour is the same for one side of a split box.
type SidePour struct {
	Side     string `json:"side"`
	LikelyLb Number `json:"likely_lb"`
	Lb       Number `json:"lb"`
}

type Leftover struct {
	Lot     string `json:"lot"`
	Lb      Number `json:"lb"`
	LbPerAc Number `json:"lb_per_ac"`
}

type Drift struct {
	ChangeShare    Number `json:"change_share"`
	LowShare       Number `json:"low_share"`
	HighShare      Number `json:"high_share"`
	CertaintyShare Number `json:"certainty_share"`
}
