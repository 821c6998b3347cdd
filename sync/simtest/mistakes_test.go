//go:build !js

package simtest_test

import "path"

// hitchFile says whether a hitch is ready.
var hitchFile = path.Join("sync/farm/work", "hitch.go")

// mistakes are planted one at a time: see TestPlantedMistakesAreFound. The first
// of each lie takes out what stands against it.
var mistakes = []mistake{
	{"follow any clock", "clock", 10, []swap{
		{"sync/hlc/hlc.go", "if latest >= now && latest-now < Hour && latest+1 > now {", "if latest >= now && latest+1 > now {"},
		{"sync/hlc/hlc.go", "	if b >= now && b-now >= Hour {\n		return a\n	}\n	return max(a, b)", "	_ = now\n	return max(a, b)"},
	}},
	{"order by clock", "clock", 10, []swap{
		{"sync/farm/order/place.go", "	return last.next(r.Clock)", "	_ = last\n	return Place{0, r.Clock}"},
	}},
	{"what waits stops work after its device's stop", "seen", 10, []swap{
		{"sync/farm/crew/post.go", "len(d.Wait) == 0 || post != nil && post.Stopped() || s.outcast(d)", "len(d.Wait) == 0 || s.outcast(d)"},
	}},
	{"trust a claim of what was seen by its number", "seen", 80, []swap{
		{"sync/farm/core.go", "		if r == nil || r.Hash != m.Hash {\n			return false", "		if r == nil {\n			return false"},
	}},
	{"name who was never let in", "seen", 10, []swap{
		{"sync/farm/core.go", "if r.Log.Signer() != d.Signer() && !s.WasIn(r.Log) {", "if d == nil {"},
	}},
	{"a person's right on any device", "person", 10, []swap{
		{"sync/farm/crew/right.go", "		return min(role, s.Membership.personRole(r))", "		return s.Membership.personRole(r)"},
	}},
	{"a forked log signs", "branch", 300, []swap{
		{"sync/farm/crew/right.go", "	if r.Log.Root != nil && binds(r.Body) {\n		return order.HasNoForce\n	}\n", ""},
	}},
	{"one number makes a copy", "stored", 10, []swap{
		{"client/syncer/catchup.go", "	if s.longer || !s.forked {\n		return s.longer\n	}\n", ""},
	}},
	{"an exchange without a bound", "generation", 10, []swap{
		{"client/syncer/catchup.go", "		if s.anew > maxAnew {\n			break\n		}\n", ""},
	}},
	{"marks outlive a generation", "generation", 300, []swap{
		{"client/syncer/catchup.go", "s.Memory = Memory{resp.Generation, resp.Stored, resp.ReadsBrief}", "s.Memory = Memory{resp.Generation, s.Memory.Stored.Max(resp.Stored), resp.ReadsBrief}"},
	}},
	{"an invite lets in twice", "replay", 10, []swap{
		{"sync/farm/crew/offer.go", "if !ok || !inv.Used.IsZero() || wall > inv.Expires ||", "if !ok || wall > inv.Expires ||"},
	}},
	{"an invite never ends", "replay", 10, []swap{
		{"sync/farm/crew/offer.go", "if !ok || !inv.Used.IsZero() || wall > inv.Expires ||", "if !ok || !inv.Used.IsZero() ||"},
	}},
	{"ready while entries are withheld", "withhold", 300, []swap{
		{hitchFile, "	if n := s.WaitingNow(); n > 0 {", "	if n := s.WaitingNow(); n > 1<<30 {"},
	}},
	{"no budget", "flood", 300, []swap{
		{"sync/replica/budget.go", "	if r.wall == nil {", "	if r.wall != nil {"},
	}},
	{"one budget for all", "flood", 300, []swap{
		{"sync/replica/budget.go", "	number, size := w.weight(&head)\n", "	number, size := w.weight(&head)\n	for _, m := range w.log.Frontier() {\n		if h, _ := w.log.Head(m.Log.Device()); m.Log != run.Device.Log() {\n			_, n := w.weight(&h)\n			size += n\n		}\n	}\n"},
	}},
	{"no bound on who waits on an invite", "flood", 80, []swap{
		{"sync/replica/stranger.go", "k.count[invite] >= exchange.InviteLogs:", "k.count[invite] >= exchange.MaxStrangers:"},
	}},
	{"ignore a stop", "branch", 10, []swap{
		{"sync/farm/crew/membership.go", "			st.lower(b.Last.Log.Device(), grant{By: r, cut: b.Last, cuts: true})", "			_ = b"},
	}},
	{"a cut by arrival", "branch", 300, []swap{
		{"sync/farm/crew/post.go", "		return x.By.Knew(r) && r.Seq <= x.cut.Seq", "		return r.Seq <= x.cut.Seq"},
		{"sync/farm/crew/post.go", "	if last == nil || !x.By.Knew(last) {", "	if last == nil {"},
	}},
	{"skip a signature when some is held", "replay", 10, []swap{
		{"sync/chain/chain.go", "	if err := entry.Verify(h.Key, hash, run.Sig); err != nil {", "	if err := entry.Verify(h.Key, hash, run.Sig); err != nil && rest.First == run.First {"},
	}},
	{"let in without an owner", "person", 10, []swap{
		{"sync/farm/crew/membership.go", "		if st.right(p, r) < entry.Owner {\n			continue\n		}\n		switch b", "		if _, lets := r.Body.(*entry.Admitted); st.right(p, r) < entry.Owner && !lets {\n			continue\n		}\n		switch b"},
		{"sync/farm/crew/membership.go", "		if p.owner && p.heard == 0 && (eldest", "		if p.heard == 0 && (eldest"},
	}},
	{"the younger puts out the elder", "branch", 300, []swap{
		{"sync/farm/crew/post.go", "	return st.by(r) == p || !p.owner || st.elder(st.by(r), p)", "	return true"},
	}},
	{"a lower role ignored", "", 100, []swap{
		{"sync/farm/crew/membership.go", "of.grants, of.lowers = append(of.grants, g), append(of.lowers, g)", "of.grants = append(of.grants, g)"},
	}},
	{"lose a settlement", "", 100, []swap{
		{"sync/farm/fact/settle.go", "	thing.InSet(&s.Settles, r, on)\n", "	thing.InSet(&s.Settles, r, on && r.Log.Nr == 0)\n"},
	}},
	{"count a retried fill twice", "", 100, []swap{
		{"sync/farm/core.go", "		case es[i].Seq <= d.Held()+uint64(len(d.Wait)):\n", ""},
	}},
	{"void a hold of who has no right", "", 100, []swap{
		{"sync/farm/fact/judge.go", "	if h, ok := r.Body.(*entry.HoldRaised); ok {", "	if h, ok := r.Body.(*entry.HoldRaised); ok && r.Left == order.Counts {"},
	}},
	{"who raised a hold has seen it", "", 100, []swap{
		{path.Join("sync/farm/work", "holdseen.go"), "who == h.By || ", ""},
	}},
	{"a spot that stays for ever", "", 100, []swap{
		{"sync/farm/view/spot.go", "ok && out[i].Gone.IsZero() {", "ok && i < 0 {"},
	}},
	{"an errand as far as was said last", "", 300, []swap{
		{"sync/farm/view/errand.go", "if best == nil || r.Eff.(*entry.Errand).State >= best.Eff.(*entry.Errand).State {", "if len(said) > 0 {"},
	}},
	{"a signature for another hitch", "", 100, []swap{
		{hitchFile, "if sig.Hitch != b.ID() || sig.Item != item || !h.signs(r) {", "if sig.Item != item || !h.signs(r) {"},
	}},
}
