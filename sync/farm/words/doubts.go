package words

import (
	"fmt"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/crew"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/work"
)

// Worded is how many doubts are put into words. A crew has a handful; whoever
// has more than this settles these first, and the words of others follow.
const Worded = 500

// Word puts a finding into words, or only says what it is and rests on.
func (s *Words) Word(f order.Finding, entries []entry.ID, words bool) conflict.Doubt {
	if !words {
		return Unworded(f.Kind, f.About, entries)
	}
	d := conflict.Doubt{Kind: f.Kind, About: f.About, Look: looks[f.Kind], Entries: entries}
	what := make([]string, len(f.Recs))
	for i, r := range f.Recs {
		what[i] = fmt.Sprintf("%s on %s: %s", s.PersonName(r), crew.DeviceName(r.Log), s.What(r.Body))
	}
	d.What = strings.Join(what, "; ")
	d.Choices = s.choices(f)
	return d
}

// Unworded is a doubt of which only kind and entries are told.
func Unworded(kind conflict.DoubtKind, about string, entries []entry.ID) conflict.Doubt {
	return conflict.Doubt{
		Kind: kind, About: about, Look: looks[kind], Entries: entries,
		What: "one of very many doubts: settle the first ones, and this one is put into words",
	}
}

// looks says what to go and look at.
var looks = map[conflict.DoubtKind]string{
	conflict.TwoSettings:    "go to the box and read its dial: the dial is one thing on one machine",
	conflict.DoubleEntry:    "ask both, or count the empty bags: was the box filled once or twice?",
	conflict.TwoPlans:       "ask both which of the two is meant",
	conflict.UnprovedRate:   "catch and weigh seed of this lot at this dial",
	conflict.CounterBack:    "read the counter again: was it set back, misread, or written down late?",
	conflict.CounterBegin:   "ask whoever began where the counter stood then: a note, a photo, the reading when it was borrowed",
	conflict.TwoBegins:      "ask both where the counter stood when work began; others may have had the drill between",
	conflict.TwoPieces:      "ask both which ground was worked between these readings",
	conflict.Balance:        "look into the box, and weigh what is left",
	conflict.MixedLots:      "look what is in the box, and at the plan",
	conflict.TwoSeeds:       "ask who poured it, or look into the box: were the two mixed, or does one lie on the other?",
	conflict.WorkedUnready:  "look the hitch over and ask who was driving: the drill was worked while it was not ready",
	conflict.NoRight:        "ask an owner whether this person should have that right, and write it again if so",
	conflict.AfterStop:      "ask who has the device: an owner may take these notes in",
	conflict.SameName:       "say whether these are one thing or two, and rename one",
	conflict.WrongClock:     "look at the clock of each device",
	conflict.Forked:         "the device was restored from a copy: it must join anew",
	conflict.AmendedApart:   "ask both which wording is right",
	conflict.OneInvite:      "ask who was meant to have the invite, and stop the other device",
	conflict.OverFull:       "look how full the box is, and count the empty bags",
	conflict.LittlePoured:   "look into the box: was it pounds or kilograms?",
	conflict.PouredTwice:    "count the empty bags: was it filled once, or twice?",
	conflict.LevelTooHigh:   "look into the box again; was a fill not written down?",
	conflict.LevelTooLow:    "look into the box and weigh again: grams or pounds? was a drain not written down?",
	conflict.OverDrained:    "weigh again what was let out; was a fill not written down?",
	conflict.MoreThanCame:   "count the bags: did more come than is written?",
	conflict.NearName:       "ask who wrote it: one and the same, or two?",
	conflict.UnlikelyDial:   "go to the box and read its dial: is it what was meant?",
	conflict.SameDial:       "go to the box and read its dial",
	conflict.UnlikelyRate:   "look at the seed's tag, and at what is advised where you are",
	conflict.UnlikelyWidth:  "measure it on the drill",
	conflict.OtherSpecies:   "read the tag of the bag: which seed went into which box?",
	conflict.TooManyAcres:   "read the counter again: is it the right reading, and the right piece?",
	conflict.RanDry:         "look at the ground, and count the empty bags: was a fill not written down?",
	conflict.TooFast:        "read the counter again: is it the right reading?",
	conflict.TooFarBack:     "read the counter again, or leave it out: what did it show when that was done?",
	conflict.UnlikelyCatch:  "weigh it again, or catch once more: what did the scale show?",
	conflict.NearSpecies:    "ask who wrote it, and read the tag: which species is it?",
	conflict.ChangedSpecies: "read the tag of the bag: which seed was poured?",
	conflict.OtherLabel:     "read the tag of the bag: which species is it?",
	conflict.UnclearCoating: "look at the tag: is the purity a share of all that is in the bag, or of the seed without its coating?",
	conflict.FinishedEarly:  "look at the ground, and read the counter: was all of it sown?",
}

// choices is the ways to settle a finding.
func (s *Words) choices(f order.Finding) []conflict.Choice {
	switch f.Kind {
	case conflict.TwoPlans:
		cs := s.eachOf(f.Recs)
		for i, text := range s.valuesIn(&f) {
			cs[i].What = text + " (" + cs[i].What + ")"
		}
		return cs
	case conflict.TwoSettings:
		return s.eachOf(f.Recs)
	case conflict.SameName:
		one := conflict.Choice{Word: "one", What: "they are one and the same", Stands: []entry.ID{f.Recs[0].ID()}}
		return []conflict.Choice{one, {Word: "two", What: "they are two: rename one"}}
	case conflict.DoubleEntry:
		return append(s.eachOf(f.Recs), conflict.Choice{Word: "both", What: "each happened", Stands: order.IDsOf(f.Recs)})
	case conflict.TwoBegins:
		return append(s.eachOf(f.Recs), conflict.Choice{Word: "both", What: "each is true: others had the drill between", Stands: order.IDsOf(f.Recs)})
	case conflict.TwoSeeds:
		return []conflict.Choice{
			{Word: entry.Blended, What: "they are mixed, and go out together by what there is of each", Say: entry.Blended},
			{Word: entry.Layered, What: "one lies above the other: what was poured first goes out first", Say: entry.Layered},
		}
	case conflict.CounterBegin:
		return []conflict.Choice{{Word: entry.BeganAt, What: "the counter stood at so much when work began", Say: entry.BeganAt}}
	case conflict.CounterBack:
		return []conflict.Choice{asItStands(f.Recs)}
	}
	if f.Kind.IsSlip() {
		return []conflict.Choice{conflict.AsWritten("", entry.Opt[int64]{})}
	}
	return []conflict.Choice{{Word: "seen", What: "someone looked, and it is as written"}}
}

// asItStands is the choice to let a reading be what it is by now, where it no
// longer runs back, and people differ on how it once did.
func asItStands(rs []*order.Rec) conflict.Choice {
	for _, r := range rs { // it is about one
		if at := work.ReadBy(r); at.Set {
			return conflict.AsWritten(at.Val.String(), entry.Some(int64(at.Val)))
		}
	}
	return conflict.Choice{Word: entry.Instead, What: "it stays left out", Say: entry.Instead}
}

func (s *Words) eachOf(rs []*order.Rec) []conflict.Choice {
	var out []conflict.Choice
	for i, r := range rs {
		out = append(out, conflict.Choice{Word: fmt.Sprint(i + 1), What: s.PersonName(r) + ": " + s.What(r.Body), Stands: []entry.ID{r.ID()}})
	}
	return out
}
