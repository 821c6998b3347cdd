package wire

import (
	"errors"
	"fmt"

	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

func malformed(err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("%w: %w", exchange.ErrMalformed, err)
}

// Generation reads a generation: 16 bytes, or none where it is not known.
func Generation(b []byte) (exchange.Generation, error) {
	if len(b) == 0 {
		return exchange.Generation{}, nil
	}
	if err := sized("generation", b, 16); err != nil {
		return exchange.Generation{}, err
	}
	return exchange.Generation(b), nil
}

func generationOut(g exchange.Generation) []byte {
	if g.IsZero() {
		return nil
	}
	return g[:]
}

// Request reads a request; what is amiss gives exchange.ErrMalformed.
func Request(m *turnrowv1.ExchangeRequest) (exchange.Request, error) {
	farm, err1 := Farm(m.GetFarm())
	have, err2 := Frontier(m.GetHave())
	runs, err3 := Runs(m.GetRuns())
	gen, err4 := Generation(m.GetGeneration())
	brief, err5 := brief(m.GetBrief())
	if brief != nil && m.GetHave() != nil {
		err5 = fmt.Errorf("%w: a frontier in two forms", ErrMessage)
	}
	return exchange.Request{Farm: farm, Have: have, Brief: brief, Runs: runs, Generation: gen, MaxBytes: int(m.GetMaxBytes())},
		malformed(errors.Join(err1, err2, err3, err4, err5))
}

// RequestOut writes a request, its frontier in the brief form where the other
// reads that.
func RequestOut(r exchange.Request) *turnrowv1.ExchangeRequest {
	m := &turnrowv1.ExchangeRequest{Farm: r.Farm[:], Runs: RunsOut(r.Runs), MaxBytes: uint32(r.MaxBytes)}
	if r.ReadsBrief {
		if f, ok := r.Have.Brief(); ok {
			m.Brief = briefOut(f) // and no generation: it tells who answers nothing
			return m
		}
	}
	m.Have, m.Generation = FrontierOut(r.Have), generationOut(r.Generation)
	return m
}

// Response reads the response to a request; what is amiss gives
// exchange.ErrMalformed.
func Response(m *turnrowv1.ExchangeResponse, req exchange.Request) (exchange.Response, error) {
	have := req.Have
	gen, err1 := Generation(m.GetGeneration())
	stored, err2 := Frontier(m.GetStored())
	if err2 == nil && req.ReadsBrief {
		err2 = unmixed(stored, have)
	}
	if err2 == nil {
		stored, err2 = answered(stored, have)
	}
	runs, err3 := Runs(m.GetRuns())
	refused, err4 := refusals(m.GetRefusals())
	porter, err5 := porter(m.GetPorter())
	return exchange.Response{
		Generation: gen, Stored: stored.On(have), Runs: runs, More: m.GetMore(), Refusals: refused,
		Have: have, ReadsBrief: m.GetReadsBrief(), Waits: m.GetWaits(), Porter: porter,
	}, malformed(errors.Join(err1, err2, err3, err4, err5))
}

// unmixed checks that an answerer did not take one of the asker's devices for
// another of its own with the same short name: what it says of that one would
// count for the other.
func unmixed(stored, have chain.Frontier) error {
	for _, m := range stored {
		if _, brief := short(&m); brief || have.Seq(m.Log) > 0 {
			continue
		}
		for _, h := range have {
			if chain.ShortOf(h.Log) == chain.ShortOf(m.Log) {
				return fmt.Errorf("%w: %s and %s", chain.ErrShort, h.Log, m.Log)
			}
		}
	}
	return nil
}

// ResponseOut writes a response. How far the record is stored is told where it
// differs from what the asker has.
func ResponseOut(r exchange.Response) *turnrowv1.ExchangeResponse {
	return &turnrowv1.ExchangeResponse{
		Generation: generationOut(r.Generation), Stored: FrontierOut(answerOut(r.Stored.Since(r.Have), r.Unknown)), Runs: RunsOut(r.Runs),
		More: r.More, Refusals: refusalsOut(r.Refusals),
		ReadsBrief: r.ReadsBrief, Waits: r.Waits, Porter: porterOut(r.Porter),
	}
}

// porter reads the first entry of a server's own device; none is the zero mark.
func porter(m *turnrowv1.Mark) (entry.Mark, error) {
	if m == nil {
		return entry.Mark{}, nil
	}
	k, err := mark(m)
	if err == nil && k.Seq != 1 {
		err = fmt.Errorf("%w: a porter's first entry has number %d", ErrMessage, k.Seq)
	}
	return k, err
}

func porterOut(m entry.Mark) *turnrowv1.Mark {
	if m == (entry.Mark{}) {
		return nil
	}
	return markOut(&m)
}

// Join reads a request to join; what is amiss gives exchange.ErrMalformed.
func Join(m *turnrowv1.JoinRequest) (farm entry.FarmID, run entry.Run, code string, err error) {
	farm, err1 := Farm(m.GetFarm())
	run, err2 := Run(m.GetRun())
	return farm, run, m.GetFoundingCode(), malformed(errors.Join(err1, err2))
}

// JoinOut writes a request to join.
func JoinOut(farm entry.FarmID, run entry.Run, code string) *turnrowv1.JoinRequest {
	return &turnrowv1.JoinRequest{Farm: farm[:], Run: RunOut(&run), FoundingCode: code}
}

// Admission reads the answer to a request to join.
func Admission(m *turnrowv1.JoinResponse) (exchange.Admission, error) {
	gen, stored, err1 := hint(m.GetGeneration(), m.GetStored())
	porter, err2 := porter(m.GetPorter())
	a := exchange.Admission{Generation: gen, Stored: stored, Waits: m.GetWaits(), Porter: porter}
	return a, errors.Join(err1, malformed(err2))
}

// AdmissionOut writes the answer to a request to join.
func AdmissionOut(a exchange.Admission) *turnrowv1.JoinResponse {
	return &turnrowv1.JoinResponse{
		Generation: generationOut(a.Generation), Stored: FrontierOut(a.Stored), Waits: a.Waits, Porter: porterOut(a.Porter),
	}
}

// Watch reads a request to be told of new entries.
func Watch(m *turnrowv1.WatchRequest) (entry.FarmID, chain.Frontier, error) {
	farm, err1 := Farm(m.GetFarm())
	have, err2 := Frontier(m.GetHave())
	return farm, have, malformed(errors.Join(err1, err2))
}

// WatchOut writes a request to be told of new entries.
func WatchOut(farm entry.FarmID, have chain.Frontier) *turnrowv1.WatchRequest {
	return &turnrowv1.WatchRequest{Farm: farm[:], Have: FrontierOut(have)}
}

// Hint reads what a watch tells.
func Hint(m *turnrowv1.WatchResponse) (exchange.Admission, error) {
	gen, stored, err := hint(m.GetGeneration(), m.GetStored())
	return exchange.Admission{Generation: gen, Stored: stored}, err
}

// HintOut writes what a watch tells.
func HintOut(g exchange.Generation, stored chain.Frontier) *turnrowv1.WatchResponse {
	return &turnrowv1.WatchResponse{Generation: generationOut(g), Stored: FrontierOut(stored)}
}

func hint(generation []byte, stored *turnrowv1.Frontier) (exchange.Generation, chain.Frontier, error) {
	gen, err1 := Generation(generation)
	f, err2 := Frontier(stored)
	return gen, f, malformed(errors.Join(err1, err2))
}
