package page

// Met says in words when this device last met another.
func (q *request) Met() string {
	if q.page.client.Server() == "" {
		return words.text("met.noserver")
	}
	return ""
}
