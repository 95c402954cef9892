package send

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"

	"brushfall/internal/fault"
)

// mostNames bounds the plates of a sheet: a sheet of 12 × 20 in holds a few
// hundred of the smallest.
const mostNames = 10_000

// Name is what a plate on a sheet is called: its design, its number there, and
// which copy of it on the sheet this is, from 1.
type Name struct {
	Design      string
	Plate, Copy int
}

// String gives "Heron badge/2", and "Heron badge/2/3" for the third copy.
func (n Name) String() string {
	if n.Copy > 1 {
		return fmt.Sprintf("%s/%d/%d", n.Design, n.Plate, n.Copy)
	}
	return fmt.Sprintf("%s/%d", n.Design, n.Plate)
}

// Names reads the plates' names, in cutting order, from the SVG of a sheet: its
// groups say the design and the number. Faults: "send-names" for what is not such
// a file.
func Names(r io.Reader) ([]Name, error) {
	var out []Name
	seen := map[Name]int{}
	d := xml.NewDecoder(io.LimitReader(r, mostBytes))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out, nil
		}
		if err != nil {
			return nil, fault.New("send-names", "", "the SVG of the sheet cannot be read: %v", err)
		}
		start, ok := token.(xml.StartElement)
		if !ok || start.Name.Local != "g" {
			continue
		}
		name, ok := named(start.Attr)
		if !ok {
			continue
		}
		if len(out) == mostNames {
			return nil, fault.New("send-names", "", "the SVG of the sheet has more than %d plates", mostNames)
		}
		seen[name]++
		copied := name
		copied.Copy = seen[name]
		out = append(out, copied)
	}
}

// named gives the name in a group's attributes.
func named(attributes []xml.Attr) (Name, bool) {
	var n Name
	for _, a := range attributes {
		switch a.Name.Local {
		case "data-design":
			n.Design = a.Value
		case "data-plate":
			if _, err := fmt.Sscanf(a.Value, "%d", &n.Plate); err != nil {
				return n, false
			}
		}
	}
	return n, n.Plate > 0
}
