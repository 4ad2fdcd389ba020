package shape

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestDocument(t *testing.T) {
	zone := Map(Need("role", OneOf("held"), "What it does."), May("weight", Whole(), "How <much> it counts.")).Named("zone", "One level.")
	s := When("on",
		Map(May("zones", Map(Key{Name: "hip", Shape: zone, About: "Hip."}).Rest(zone).Gaps(), "The levels.")),
		Map(
			Need("zones", Map().Rest(zone.Needing("weight")), "The levels."),
			May("sizes", OneOrList(Text()), "The sizes."),
			Key{Name: "told", Shape: Map().Open(), Needed: true, Null: true},
		))
	const want = `{
  "$schema": "https://json-schema.org/draft/2020-12/schema",
  "title": "Garment",
  "description": "A garment.",
  "if": {
    "properties": {
      "on": {
        "type": [
          "string",
          "number",
          "boolean",
          "object",
          "array"
        ]
      }
    },
    "required": [
      "on"
    ]
  },
  "then": {
    "type": "object",
    "properties": {
      "zones": {
        "description": "The levels.",
        "type": [
          "object",
          "null"
        ],
        "properties": {
          "hip": {
            "description": "Hip.",
            "$ref": "#/$defs/zone",
            "type": "object"
          }
        },
        "additionalProperties": {
          "$ref": "#/$defs/zone"
        }
      }
    },
    "additionalProperties": false
  },
  "else": {
    "type": "object",
    "properties": {
      "zones": {
        "description": "The levels.",
        "type": "object",
        "additionalProperties": {
          "$ref": "#/$defs/zone",
          "type": "object",
          "required": [
            "weight"
          ]
        }
      },
      "sizes": {
        "description": "The sizes.",
        "anyOf": [
          {
            "type": [
              "string",
              "number",
              "boolean"
            ]
          },
          {
            "type": "array",
            "items": {
              "type": [
                "string",
                "number",
                "boolean",
                "null"
              ]
            }
          },
          {
            "type": "null"
          }
        ]
      },
      "told": {
        "type": [
          "object",
          "null"
        ]
      }
    },
    "required": [
      "zones",
      "told"
    ],
    "additionalProperties": false
  },
  "$defs": {
    "zone": {
      "description": "One level.",
      "type": [
        "object",
        "null"
      ],
      "properties": {
        "role": {
          "description": "What it does.",
          "enum": [
            "held"
          ]
        },
        "weight": {
          "description": "How <much> it counts.",
          "type": [
            "integer",
            "string",
            "null"
          ],
          "pattern": "^\\d+$"
        }
      },
      "required": [
        "role"
      ],
      "additionalProperties": false
    }
  }
}
`
	if diff := cmp.Diff(want, string(Document("Garment", "A garment.", s))); diff != "" {
		t.Error(diff)
	}
}
