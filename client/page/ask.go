package page

import (
	"encoding/json"
	"errors"
	"net/http"
	"strings"

	"turnrow/client"
	"turnrow/client/words"
	"turnrow/sync/entry"
)

// asked is a question about what was typed, before it is written: the likely
// readings, and what was posted, to be posted again with the answer.
type asked struct {
	client.Question
	Readings []reading
	Action   string
	Fields   []field
}

// reading is one answer: what it takes to be so, how it came to be written
// otherwise, and what its button posts.
type reading struct{ Figure, How, Answer string }

func readingOf(c words.Choice, answer string) reading {
	if how, ok := strings.CutPrefix(c.What, c.Figure); ok && c.Figure != "" {
		return reading{c.Figure, strings.Trim(how, ", ()"), answer}
	}
	return reading{c.What, "", answer}
}

// question asks about what is unlikely; nothing is written until it is
// answered.
func (q *request) question(w http.ResponseWriter, about client.Question) {
	a := asked{Question: about, Action: q.r.URL.Path, Fields: q.posted("token")}
	for _, c := range about.Choices {
		text, err := json.Marshal(about.Answer(c))
		if err != nil {
			q.sorry(w, err)
			return
		}
		a.Readings = append(a.Readings, readingOf(c, string(text)))
	}
	q.Name, q.Data = "ask", a
	q.render(w, http.StatusConflict)
}

// record writes what build makes, with the answers that were posted to what was
// asked about it.
func (q *request) record(build client.Build) ([]entry.ID, error) {
	w := client.Writing{Person: q.person(), Build: build, Number: q.r.PostForm.Get("number")}
	w.Form, w.Said = q.said()
	for _, text := range q.vals["answer"] {
		var a client.Answer
		if json.Unmarshal([]byte(text), &a) == nil {
			w.Answers = append(w.Answers, a)
		}
	}
	ids, err := q.page.farm.Ask(q.r.Context(), w)
	if errors.Is(err, client.ErrLeftOut) {
		return nil, nil
	}
	return ids, err
}
