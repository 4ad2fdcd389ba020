package file

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"regexp"
	"sync"

	"fitadvisor/explain/diag"
)

// Sheet is lines of cells to be written.
type Sheet struct {
	Name string
	Rows [][]string
}

// WriteWorkbook writes an XLSX file. A plain decimal becomes a number, anything else
// a text, an empty text no cell. The same sheets give the same bytes.
func WriteWorkbook(sheets []Sheet) ([]byte, error) {
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	types, names, links := "", "", ""
	parts := []part{}
	for i, s := range sheets {
		n := i + 1
		types += fmt.Sprintf(`<Override PartName="/xl/worksheets/sheet%d.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/>`, n)
		names += fmt.Sprintf(`<sheet name="%s" sheetId="%d" r:id="rId%d"/>`, escaped(s.Name), n, n)
		links += fmt.Sprintf(`<Relationship Id="rId%d" Type="%s/worksheet" Target="worksheets/sheet%d.xml"/>`, n, relations, n)
		parts = append(parts, part{fmt.Sprintf("xl/worksheets/sheet%d.xml", n), s.xml()})
	}
	links += fmt.Sprintf(`<Relationship Id="rId%d" Type="%s/styles" Target="styles.xml"/>`, len(sheets)+1, relations)
	parts = append([]part{
		{"[Content_Types].xml", `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
			`<Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/>` +
			`<Override PartName="/xl/styles.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"/>` + types + `</Types>`},
		{"_rels/.rels", `<Relationships xmlns="` + packageLinks + `"><Relationship Id="rId1" Type="` + relations + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{"xl/workbook.xml", `<workbook xmlns="` + mainSpace + `" xmlns:r="` + relations + `"><sheets>` + names + `</sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", `<Relationships xmlns="` + packageLinks + `">` + links + `</Relationships>`},
		{"xl/styles.xml", `<styleSheet xmlns="` + mainSpace + `"><fonts count="1"><font/></fonts><fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill></fills>` +
			`<borders count="1"><border/></borders><cellStyleXfs count="1"><xf/></cellStyleXfs><cellXfs count="1"><xf/></cellXfs></styleSheet>`},
	}, parts...)
	for _, p := range parts {
		w, err := z.Create(p.name)
		if err == nil {
			_, err = w.Write([]byte(xml.Header + p.text))
		}
		if err != nil {
			return nil, err
		}
	}
	err := z.Close()
	return out.Bytes(), err
}

type part struct{ name, text string }

// The names of the parts of a workbook and of what binds them (ECMA-376).
const (
	mainSpace    = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
	relations    = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	packageLinks = "http://schemas.openxmlformats.org/package/2006/relationships"
)

// plainNumber is a number that reads back as it stands.
var plainNumber = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^(0|[1-9][0-9]{0,9})(\.[0-9]{0,4}[1-9])?$`) })

func (s Sheet) xml() string {
	out := `<worksheet xmlns="` + mainSpace + `"><sheetData>`
	for i, row := range s.Rows {
		out += fmt.Sprintf(`<row r="%d">`, i+1)
		for k, text := range row {
			at := diag.Pos{Line: i + 1, Column: k + 1}.Cell()
			switch {
			case text == "":
			case plainNumber().MatchString(text):
				out += fmt.Sprintf(`<c r="%s"><v>%s</v></c>`, at, text)
			default:
				out += fmt.Sprintf(`<c r="%s" t="inlineStr"><is><t xml:space="preserve">%s</t></is></c>`, at, escaped(text))
			}
		}
		out += `</row>`
	}
	return out + `</sheetData></worksheet>`
}

func escaped(s string) string {
	var out bytes.Buffer
	_ = xml.EscapeText(&out, []byte(s)) // no error: a buffer takes all
	return out.String()
}
