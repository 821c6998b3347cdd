// Package farm folds entries into the state of a farm: who belongs to it, what
// its drill, boxes, ground and lots are, what is planned, where the seed went,
// whether the drill may be worked, and what is in doubt.
//
// The state is a function of the set of entries: order of arrival, repeats and
// batches never matter. An entry takes effect once everything that its writer
// had seen has taken effect, so that what it knew is always known here too;
// until then it waits. Two entries are concurrent where neither writer knew
// the other's; that, not clock order, is what makes a conflict, and a conflict is
// shown as a [Doubt] until a person settles it.
//
// What an entry goes through is a line, with a room for each step: order (who
// had seen what), thing (what things are set to), rule (what holds for a kind),
// crew (whose entries count), fact (what they say after amendments, strikes and
// settlements), work (what that comes to), view (what people read), words (how
// it is said) and slip (what is unlikely). Each room is a value that has the one
// below it in it, and knows nothing of those above; conflict is known by all.
// This package drives an entry along the line, lists what is in doubt, and makes
// the digest.
//
// Each matter is a small ordered set or register keyed by the total order of
// the entries' places, or by the drill's own counter, so that an entry that
// arrives late is put in its place. Where somebody is let in, stopped or given
// another role, only the entries of the devices concerned are judged again.
//
// Everything that the digest covers is in integers.
package farm
