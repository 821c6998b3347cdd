package report

import (
	"turnrow/client/answer"
	"turnrow/sync/message"
)

// Message is something that the record says, as data; nil where it says nothing.
func Message(m message.Message) *answer.Message {
	if m.IsZero() {
		return nil
	}
	out := &answer.Message{ID: string(m.ID)}
	for _, a := range m.Args {
		out.Args = append(out.Args, arg(a))
	}
	return out
}

func arg(a message.Arg) (out answer.Arg) {
	switch a := a.(type) {
	case message.Message:
		out.Message = Message(a)
	case message.Text:
		out.Text = string(a)
	case message.Term:
		out.Term = a.Word
	case message.Name:
		out.Name = a.Name
		if !a.Of.IsZero() {
			out.Of = a.Of.String()
		}
	case message.Quantity:
		out.Unit, out.Value = unitNames[a.Unit], &a.N
	case message.Span:
		low, high := int64(a.Low), int64(a.High)
		out.Low, out.High = &low, &high
	}
	return out
}

// unitNames are the units of quantities as programs get them.
var unitNames = map[message.Unit]string{
	message.UnitMass: "mg", message.UnitArea: "cm2", message.UnitRate: "ug/m2", message.UnitDensity: "1e-3/m2",
	message.UnitLength: "um", message.UnitVolume: "ml", message.UnitMoney: "1e-2 money", message.UnitShare: "1e-3 %",
	message.UnitDecimal: "1e-3", message.UnitWhole: "1", message.UnitDegrees: "1e-7 degrees", message.UnitTimes: "1e-6 times",
	message.UnitMetres: "um",
}
