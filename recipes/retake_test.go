package recipes

import (
	"strings"
	"testing"

	"fitadvisor/rules/file"
)

// What was worn beneath is said of the day of the file: it goes with what was taken on that day, and with nothing else.
func TestRetakeKeepsWhatWasWorn(t *testing.T) {
	voc, _ := known(t)
	const head = "kind: body\nname: me\n"
	tests := []struct{ name, text, want string }{
		{"of the day of the file", head + "taken: 2026-05-01\nmeasured_over: shirt\nmeasurements: {hip: 99 cm}\n",
			"earlier:\n  - taken: 2026-05-01\n    measured_over: shirt\n    measurements:\n      hip: 99 cm\n"},
		{"of a day before", head + "taken: 2026-10-01\nmeasured_over: shirt\nsince: {hip: 2026-05-01}\nmeasurements: {hip: 99 cm, waist: 70 cm}\n",
			"earlier:\n  - taken: 2026-05-01\n    measurements:\n      hip: 99 cm\n"},
		{"beside what was taken on its day", head + "taken: 2026-10-01\nmeasured_over: shirt\nsince: {hip: 2026-05-01}\nmeasurements: {hip: 99 cm}\nearlier:\n  - {taken: 2025-01-01, measurements: {hip: 98 cm}}\n  - {taken: 2026-05-01, measured_over: slip, measurements: {waist: 71 cm}}\n",
			"  - {taken: 2025-01-01, measurements: {hip: 98 cm}}\n  - {taken: 2026-05-01, measured_over: slip, measurements: {waist: 71 cm, hip: 99 cm}}\n"},
		{"two of one day", head + "taken: 2026-05-01\nmeasurements: {hip: 99 cm}\nearlier:\n  - {taken: 2026-05-01, measurements: {hip: 98 cm}}\n",
			"earlier:\n  - taken: 2026-05-01\n    measurements:\n      hip: 99 cm\n  - {taken: 2026-05-01, measurements: {hip: 98 cm}}\n"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			doc := file.Open("me.yaml", []byte(tt.text))
			text, err := Retake(doc, ReadBody(doc, voc), Retaking{Measurement: "hip", Value: "100 cm", Day: "2026-11-02"}, voc)
			if err != nil || !strings.Contains(string(text), tt.want) || !strings.Contains(string(text), "hip: 100 cm") {
				t.Errorf("%v, got\n%s", err, text)
			}
		})
	}
}
