package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/report"
	"turnrow/sync/entry"
)

// asked is how questions are answered: what was answered so far, and who
// answers next.
type asked struct {
	answers []client.Answer
	person  io.Reader           // who is asked at a terminal; nil is standard input
	handOn  func(qs []question) // to the caller, where the call came through a door
}

// question is what is asked, and whether a yes to it leaves nothing in doubt.
type question struct {
	answer.Question
	plain bool
}

// asking ends a call that needs answers before it writes.
type asking struct{ questions []question }

func (a asking) Error() string { return a.questions[0].What }

// ask writes what build makes for whoever acts, and asks first about what is
// unlikely in it.
func (k *call) ask(who entry.ID, build client.Build) ([]entry.ID, error) {
	ids, err := k.farm.Ask(k.cmd.Context(), client.Writing{Person: who, Build: build, Answers: k.answers, Anyway: k.yes})
	var un *client.Unanswered
	if !errors.As(err, &un) {
		return ids, k.whereObeyed(err)
	}
	var a asking
	for i := range un.Questions {
		a.questions = append(a.questions, question{Question: report.Question(&un.Questions[i])})
	}
	return nil, a
}

// answered asks the person at the terminal, if there is one. It is false where
// nobody is there, or gives no answer.
func (g *globals) answered(a asking) bool {
	if g.handOn != nil || g.json || !g.isTerminal() || !g.someoneThere() {
		return false
	}
	in := g.person
	if in == nil {
		in = os.Stdin
	}
	ans, ok := putTo(g.errs, bufio.NewReader(in), a.questions[0])
	if ok {
		g.answers = append(g.answers, ans)
	}
	return ok
}

// someoneThere says whether a person can answer: standard input is a terminal.
func (g *globals) someoneThere() bool {
	return g.person != nil || isDevice(os.Stdin)
}

// putTo puts a question to a person, until it is answered; an empty line, or
// the end of the input, is no answer.
func putTo(w io.Writer, in *bufio.Reader, q question) (client.Answer, bool) {
	fmt.Fprintln(w, visible(q.What)+".")
	for i, r := range q.Choices {
		fmt.Fprintf(w, "  %d  %s\n", i+1, visible(r.What))
	}
	fmt.Fprintln(w, "  Enter alone: nothing is written")
	for {
		fmt.Fprint(w, "Which is it? ")
		line, err := in.ReadString('\n')
		text := strings.ToLower(strings.TrimSpace(line))
		if text == "" {
			return client.Answer{}, false
		}
		if n, bad := strconv.Atoi(text); bad == nil && n >= 1 && n <= len(q.Choices) {
			return q.Choices[n-1].Answer, true
		}
		if len(q.Choices) == 1 && (text == "y" || text == "yes") {
			return q.Choices[0].Answer, true
		}
		if err != nil || text == "n" || text == "no" {
			return client.Answer{}, false
		}
		fmt.Fprintf(w, "A number from 1 to %d.\n", len(q.Choices))
	}
}

// other leads to the other way to answer a question.
func other(q question) string {
	if q.plain {
		return ": "
	}
	return "; likelier: "
}

// unanswered says what was asked and not answered, and that nothing was
// written.
func (g *globals) unanswered(a asking) int {
	if g.handOn != nil {
		g.handOn(a.questions)
		return exitAsks
	}
	if g.json {
		var asked answer.Asked
		for _, q := range a.questions {
			asked.Ask = append(asked.Ask, q.Question)
		}
		_ = g.show(asked, nil)
	}
	text := "nothing was written: " + a.questions[0].What
	if in := a.questions[0].Instead; in != nil {
		text += other(a.questions[0]) + *in
	}
	for i, q := range a.questions[1:] {
		text += fmt.Sprintf("; question %d of %d: %s", i+2, len(a.questions), q.What)
	}
	yes := " (--yes writes it as it is, and it stays in doubt)"
	if a.questions[0].plain {
		yes = " (--yes does it all the same)"
	}
	g.warn(text + yes)
	return exitAsks
}
