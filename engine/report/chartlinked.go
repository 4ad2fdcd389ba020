package report

import (
	"fitadvisor/engine"
)

// Linked is a chart in the words of schema.org, for the page of a shop, as a value
// to be encoded as JSON-LD. Lengths are centimetres.
func Linked(a *engine.Soundness) any {
	p := linkedProduct{Context: "https://schema.org", Type: "Product", Name: a.Pattern}
	if a.Maker != "" {
		p.Brand = &linkedBrand{"Brand", a.Maker}
	}
	for s, size := range a.Sizes {
		one := linkedSize{Type: "SizeSpecification", Name: size}
		for _, row := range a.Rows {
			c := row.Cells[s]
			if c.Low == nil {
				continue
			}
			q := quantified(a.Shown.Title(row.Row), c)
			if row.Of == engine.OfBody {
				q.Of = schemaOrg(bodyTypes[row.Row])
				one.Suggested = append(one.Suggested, q)
				continue
			}
			q.Of = schemaOrg(wearableTypes[row.Row])
			one.Has = append(one.Has, q)
		}
		p.Sizes = append(p.Sizes, one)
	}
	return p
}

type linkedProduct struct {
	Context string       `json:"@context"`
	Type    string       `json:"@type"`
	Name    string       `json:"name"`
	Brand   *linkedBrand `json:"brand,omitempty"`
	Sizes   []linkedSize `json:"size"`
}

type linkedBrand struct {
	Type string `json:"@type"`
	Name string `json:"name"`
}

type linkedSize struct {
	Type      string           `json:"@type"`
	Name      string           `json:"name"`
	Suggested []linkedQuantity `json:"suggestedMeasurement,omitempty"`
	Has       []linkedQuantity `json:"hasMeasurement,omitempty"`
}

// linkedQuantity is a length; what it is of stands in its valueReference, where
// the vocabulary has a word for it, and in its name.
type linkedQuantity struct {
	Type  string   `json:"@type"`
	Name  string   `json:"name"`
	Of    string   `json:"valueReference,omitempty"`
	Value *float64 `json:"value,omitempty"`
	Min   *float64 `json:"minValue,omitempty"`
	Max   *float64 `json:"maxValue,omitempty"`
	Unit  string   `json:"unitCode"`
}

// centimetres is their code in the units of UN/CEFACT, which schema.org uses.
const centimetres = "CMT"

func quantified(name string, c engine.StepCell) linkedQuantity {
	q := linkedQuantity{Type: "QuantitativeValue", Name: name, Unit: centimetres}
	if *c.Low == *c.High {
		q.Value = c.Low
		return q
	}
	q.Min, q.Max = c.Low, c.High
	return q
}

func schemaOrg(name string) string {
	if name == "" {
		return ""
	}
	return "https://schema.org/" + name
}

// bodyTypes and wearableTypes are schema.org's words for measurements of bodies and
// of garments, as far as it has one that means the same.
var (
	bodyTypes = map[string]string{
		"arm_length": "BodyMeasurementArm", "bust": "BodyMeasurementBust", "chest": "BodyMeasurementChest", "foot_length": "BodyMeasurementFoot",
		"hand": "BodyMeasurementHand", "head": "BodyMeasurementHead", "height": "BodyMeasurementHeight", "hip": "BodyMeasurementHips",
		"inside_leg": "BodyMeasurementInsideLeg", "neck": "BodyMeasurementNeck", "underbust": "BodyMeasurementUnderbust", "waist": "BodyMeasurementWaist",
	}
	wearableTypes = map[string]string{
		"arm_length": "WearableMeasurementSleeve", "bust": "WearableMeasurementChestOrBust", "chest": "WearableMeasurementChestOrBust",
		"hip": "WearableMeasurementHips", "inside_leg": "WearableMeasurementInseam", "outside_leg": "WearableMeasurementOutsideLeg",
		"waist": "WearableMeasurementWaist",
	}
)
