package report

import (
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
)

// RecipeJSON is a garment type as other programs read it; lengths in
// centimetres, shares in percent.
type RecipeJSON struct {
	Name         string        `json:"name"`
	Title        string        `json:"title"`
	Family       string        `json:"family,omitempty"`
	Draft        string        `json:"draft"`
	Because      string        `json:"because"`
	Controlling  []string      `json:"controlling"` // in order; one expression where one decides
	BetweenSizes string        `json:"between_sizes"`
	HangsFrom    string        `json:"hangs_from,omitempty"`
	Stretch      string        `json:"stretch"`
	LeastStretch float64       `json:"least_stretch"`
	WornOver     []string      `json:"worn_over"`
	Parts        []string      `json:"parts,omitempty"` // what it has that can be altered
	Grading      GradingJSON   `json:"grading"`
	Zones        []ZoneJSON    `json:"zones"`
	Openings     []OpeningJSON `json:"openings"`
	Cautions     []string      `json:"cautions"`
	Measurements []string      `json:"measurements,omitempty"` // that it declares
	Source       string        `json:"source"`
	BasedOn      []string      `json:"based_on,omitempty"` // types whose fields are taken over, the nearest first
	Own          bool          `json:"own,omitempty"`      // a person's own, not shipped
	At           string        `json:"at"`
}

// GradingJSON says whether moving between size lines makes sense.
type GradingJSON struct {
	Sensible bool   `json:"sensible"`
	Because  string `json:"because"`
}

// ZoneJSON is one zone of a garment type.
type ZoneJSON struct {
	Zone    string      `json:"zone"`
	Role    engine.Role `json:"role"`
	By      string      `json:"by,omitempty"`
	Unit    string      `json:"unit,omitempty"` // "percent" where the ease is a share of the body
	Low     *float64    `json:"low,omitempty"`
	High    *float64    `json:"high,omitempty"`
	Mend    string      `json:"mend,omitempty"`
	Because string      `json:"because,omitempty"`
	Source  string      `json:"source,omitempty"`
	From    string      `json:"from,omitempty"` // the place in the file of another type
}

// OpeningJSON is where the body gets in.
type OpeningJSON struct {
	Name    string     `json:"name"`
	Passes  [][]string `json:"passes"` // alternatives, each with all its parts
	Closure string     `json:"closure"`
}

// RecipeFacts gives a garment type to other programs.
func RecipeFacts(r *engine.Recipe, v *engine.Vocabulary) RecipeJSON {
	v = v.For(nil, r)
	out := RecipeJSON{Name: r.Name, Title: r.Title, Family: r.Family, Draft: string(r.Draft), Because: r.Because, Controlling: r.Controlling.Names,
		BetweenSizes: string(r.Settle(v)), HangsFrom: string(r.HangsFrom), Parts: r.Parts, Stretch: string(r.Stretch.Kind), LeastStretch: r.Stretch.Least,
		WornOver: append([]string{}, r.WornOver...), Grading: GradingJSON{r.Grading.Sensible, r.Grading.Because},
		Zones: []ZoneJSON{}, Openings: []OpeningJSON{}, Cautions: []string{}, Source: r.Source, Own: r.Own, At: r.At.String()}
	for _, o := range r.BasedOn {
		out.BasedOn = append(out.BasedOn, o.Name)
	}
	if r.Controlling.Formula != nil {
		out.Controlling = []string{r.Controlling.Formula.Source()}
	}
	for i := range r.Zones {
		z := zoneJSON(&r.Zones[i])
		if at := r.Zones[i].At; at.File != r.At.File {
			z.From = at.String()
		}
		out.Zones = append(out.Zones, z)
	}
	for _, o := range r.Openings {
		one := OpeningJSON{Name: o.Name, Closure: "none", Passes: [][]string{}}
		for _, p := range o.Passes {
			one.Passes = append(one.Passes, p)
		}
		if o.Closure != nil {
			one.Closure = o.Closure.Kind
		}
		out.Openings = append(out.Openings, one)
	}
	for i := range r.Measurements {
		out.Measurements = append(out.Measurements, r.Measurements[i].Name)
	}
	for _, rule := range r.Rules {
		out.Cautions = append(out.Cautions, rule.ID)
	}
	return out
}

func zoneJSON(z *engine.Zone) ZoneJSON {
	out := ZoneJSON{Zone: z.Name, Role: z.Role, By: string(z.By), Mend: z.Mend, Because: z.Because, Source: z.Source}
	if z.Ease == nil {
		return out
	}
	number := func(v float64) *float64 {
		if !z.Ease.Percent {
			v = quantity.Length(v).Cm()
		}
		return &v
	}
	if z.Ease.Percent {
		out.Unit = "percent"
	}
	if z.Ease.HasLow {
		out.Low = number(z.Ease.Low)
	}
	if z.Ease.HasHigh {
		out.High = number(z.Ease.High)
	}
	return out
}
