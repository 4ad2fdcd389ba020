package report

import (
	"fmt"

	"fitadvisor/engine"
)

// Proposal is what was done before and is proposed again, with a question that yes or no answers.
type Proposal struct {
	Zone, Say string
	Ask       string // the ease to ask for, as it is typed
}

// Proposals asks whether to do again what earlier garments show, where that is not what is wanted or asked for here.
func Proposals(a *engine.Answer, asked []string) []Proposal {
	r := &layout{a: a, s: a.Shown, units: a.Shown.Units}
	var out []Proposal
	for _, g := range a.ProposeAgain(asked) {
		ask := r.amount(g.Ease, g.Unit)
		say := fmt.Sprintf("%s Again, %s at the %s?", capital(g.Say), r.roomAsked(g.Ease, g.Unit), spoken(g.Zone))
		if g.Make == "" {
			say = fmt.Sprintf("%s You have come to want %s there. Again?", capital(g.Say), r.roomAsked(g.Ease, g.Unit))
		}
		out = append(out, Proposal{g.Zone, say, ask})
	}
	return out
}

// roomAsked is an ease as it is asked for: so much room, or so much smaller.
func (r *layout) roomAsked(ease float64, unit string) string {
	if ease < 0 {
		return r.smaller(ease, unit) + " than you"
	}
	return r.amount(ease, unit) + " of room"
}
