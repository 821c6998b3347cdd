package main

import (
	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/sync/entry"
)

// lastOwner asks, twice, where the farm loses the last device of an owner; what
// says what comes of the call. Nobody can take it
// back: only an owner makes an owner.
func (k *call) lastOwner(loses bool, what string) error {
	if k.yes || !loses {
		return nil
	}
	meaning := what + ", and no owner's device is left: for good, nobody can invite anyone, stop a lost device, change what a person may do, or take this back. " +
		"Make another person an owner first (turnrow crew role PERSON owner, or turnrow invite PERSON --role owner) and have their device join"
	first := lastOwnerQuestion("last-owner", meaning, "do it all the same: this farm needs no owner any more")
	second := lastOwnerQuestion("last-owner-sure", "Once more, since it cannot be taken back: "+what+", and the farm has no owner from then on",
		"yes, for good")
	var a asking
	for _, q := range []question{first, second} {
		if !k.answeredWith(q.Choices[0].Answer) {
			a.questions = append(a.questions, q)
		}
	}
	if len(a.questions) == 0 {
		return nil
	}
	return a
}

// lastOwnerQuestion has one reading: who does not mean it gives none.
func lastOwnerQuestion(kind, what, yes string) question {
	return question{plain: true, Question: answer.Question{Kind: kind, What: what, Choices: []answer.Choose{{Word: "yes", What: yes,
		Answer: client.Answer{Kind: kind, Choice: "yes"}}}}}
}

func (k *call) answeredWith(given client.Answer) bool {
	for _, a := range k.answers {
		if a == given {
			return true
		}
	}
	return false
}

// losesOwners says whether no device of an owner would be left without those
// of a person.
func (k *call) losesOwners(person entry.ID) bool {
	had, left := false, false
	for _, d := range k.devices() {
		if !d.Joined || d.Stopped || k.roleOf(d.Person) != entry.Owner {
			continue
		}
		had = true
		left = left || d.Person != person
	}
	return had && !left
}
