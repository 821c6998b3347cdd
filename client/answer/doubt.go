package answer

type Doubt struct {
	ID      string   `json:"id"`
	Kind    string   `json:"kind"`
	About   string   `json:"about"`
	What    string   `json:"what"`
	Why     string   `json:"unlikely,omitempty"` // why it is unlikely
	Look    string   `json:"look"`
	Entries []string `json:"entries"`
	Choices []Choice `json:"choices"`
	Settled bool     `json:"settled"`
	By      string   `json:"settled_by,omitempty"` // the settlement
}

type Choice struct {
	Word string `json:"word"`
	What string `json:"what"`
}
