package report

import (
	"turnrow/client/answer"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Doubt is what only a person can settle.
func (r Report) Doubt(d words.Doubt) answer.Doubt {
	a := answer.Doubt{ID: d.ID(), Kind: string(d.Kind), About: d.About, What: d.What, Field: d.Field, Why: d.Why, Look: d.Look,
		Entries: idTexts(d.Entries), Choices: []answer.Choice{}, Settled: d.Settled,
		AboutData: Message(d.Doubt.About), WhatData: Message(d.Doubt.What)}
	a.WhyData = Message(d.Doubt.Why)
	for i, c := range d.Choices {
		to := answer.Choice{Word: r.choiceWord(d, i), What: c.What, Stands: idTexts(c.Stands), Say: c.Say, Figure: c.Figure, WhatData: Message(c.Choice.What)}
		if !c.Of.IsZero() {
			to.Of = c.Of.String()
		}
		a.Choices = append(a.Choices, to)
	}
	if d.Settled {
		a.By = d.By.String()
	}
	return a
}

// choiceWord is what settles a doubt by one of its choices: its word, or, for
// two settings of a dial, the mark itself.
func (r Report) choiceWord(d words.Doubt, i int) string {
	c := d.Choices[i]
	if d.Kind == farm.TwoSettings && len(c.Stands) == 1 {
		if l, ok := r.Farm.Line(c.Stands[0]); ok {
			if m, ok := l.Body.(*entry.DialMoved); ok {
				return m.To.String()
			}
		}
	}
	return c.Word
}

// DoubtIDs are doubts as programs get them.
func DoubtIDs(on []words.Doubt) []string {
	ids := []string{}
	for _, d := range on {
		ids = append(ids, d.ID())
	}
	return ids
}

func idTexts(ids []entry.ID) []string {
	texts := []string{}
	for _, id := range ids {
		texts = append(texts, id.String())
	}
	return texts
}

// Line is an entry as the log shows it.
func (r Report) Line(l words.Line) answer.Line {
	return answer.Line{Entry: l.ID.String(), Wall: Wall(l.Wall), Person: l.By, Device: l.Device, Kind: l.Kind.String(), What: l.What, Struck: l.Struck, Amended: l.Amended, LeftOut: l.LeftOut, Void: l.Void}
}
