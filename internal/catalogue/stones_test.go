package catalogue

import (
	"strings"
	"testing"

	"brushfall/internal/fault"
)

// A shop's own colour stands beside the built-in ones, or in the place of the one of its
// name; the built-in table and stones that were given before stay as they are.
func TestOwnColours(t *testing.T) {
	plain := Stones{}
	own := plain.WithColours(Colour{Name: "harbour blue", Hex: "#27567f", Finish: AB, Sizes: []string{"SS6", "SS10"}}, Colour{Name: "siam", Hex: "#99121f", Finish: Clear})
	if n := len(own.Colours()); n != len(Colours())+1 {
		t.Errorf("%d colours, want one more than %d", n, len(Colours()))
	}
	c, err := own.FindColour(" Harbour  BLUE ")
	if err != nil || c.Hex != "#27567f" || !c.Own || !c.ComesIn("SS10") || c.ComesIn("SS16") {
		t.Errorf("%+v %v", c, err)
	}
	if c, err := own.FindColour("siam"); err != nil || c.Hex != "#99121f" || !c.Own || !c.ComesIn("SS16") {
		t.Errorf("%+v %v", c, err)
	}
	if c, err := plain.FindColour("siam"); err != nil || c.Own || c.Hex == "#99121f" {
		t.Errorf("the built-in one is now %+v (%v)", c, err)
	}
	own.Colours()[0].Name = "changed"
	if own.Colours()[0].Name != "crystal" {
		t.Error("a caller can change the stones")
	}
}

// Whoever names a colour that there is not reads which there are, the shop's own among
// them, and where one is entered.
func TestUnknownColourSaysWhereOwnOnesAreEntered(t *testing.T) {
	own := Stones{}.WithColours(Colour{Name: "harbour blue", Hex: "#27567f", Finish: AB})
	for _, s := range []Stones{{}, own} {
		_, err := s.FindColour("Mud")
		if fault.CodeOf(err) != "colour-unknown" || !strings.Contains(err.Error(), `brushfall catalogue colour "mud" --shown`) {
			t.Errorf("%v", err)
		}
		if got := strings.Contains(err.Error(), "harbour blue"); got != (len(s.colours) > 0) {
			t.Errorf("%v", err)
		}
	}
}
