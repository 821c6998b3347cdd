package tell

import (
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm/thing"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

// labelFields are the fields of a label, from the line on.
var labelFields = [...]message.ID{"label.line", "label.pure", "label.germination", "label.hard", "label.coating",
	"label.other-crop", "label.weed-seed", "label.inert", "label.counted"}

// lineName is what people call a line of a label.
func lineName(key string) message.Text {
	species, variety, _ := strings.Cut(key, "\x00")
	return message.Text(strings.TrimSpace(species + " " + variety))
}

// label is what somebody set of a lot's label.
func (s *Teller) label(b *entry.LabelSet) message.Message {
	var parts []message.Message
	for i := range b.Lines {
		l := &b.Lines[i]
		name := lineName(thing.LineKey(l.Species, l.Variety))
		shares := sharesSaid(labelFields[1:5], l.Share, l.Germination, l.Hard, l.Coating)
		switch {
		case l.Removed:
			parts = append(parts, message.Of("label.not-on-it", name))
		case len(shares) == 0:
			parts = append(parts, message.Of("label.seed", name))
		default:
			parts = append(parts, message.Of("label.seed-shares", name, message.List(message.Commas, shares...)))
		}
	}
	if rest := sharesSaid([]message.ID{"label.other-crop", "label.weed-seed", "label.inert-share"}, b.OtherCrop, b.WeedSeed, b.Inert); len(rest) > 0 {
		parts = append(parts, message.List(message.Commas, rest...))
	}
	switch b.CoatingCounted {
	case entry.CoatingIn:
		parts = append(parts, message.Of("label.coating-in"))
	case entry.CoatingApart:
		parts = append(parts, message.Of("label.coating-apart"))
	}
	if len(parts) == 0 {
		return message.Of("label-set", s.Called(b.Lot))
	}
	return message.Of("label-set-to", s.Called(b.Lot), message.List(message.Semicolons, parts...))
}

// sharesSaid is the shares that are set, each by its name.
func sharesSaid(names []message.ID, shares ...entry.Opt[units.Share]) (out []message.Message) {
	for i, o := range shares {
		if o.Set {
			out = append(out, message.Of("label.share", message.Of(names[i]), message.Share(o.Val)))
		}
	}
	return out
}
