package dxfin_test

import (
	"fmt"
	"strings"
)

// groups writes group codes and values, two a pair.
func groups(pairs ...any) string {
	var b strings.Builder
	for i := 0; i+1 < len(pairs); i += 2 {
		fmt.Fprintf(&b, "%3d\n%v\n", pairs[i], pairs[i+1])
	}
	return b.String()
}

func section(name string, parts ...string) string {
	return groups(0, "SECTION", 2, name) + strings.Join(parts, "") + groups(0, "ENDSEC")
}

// drawing is a whole file in millimetres with these entities.
func drawing(entities ...string) string {
	return section("HEADER", groups(9, "$INSUNITS", 70, 4)) + section("ENTITIES", entities...) + groups(0, "EOF")
}

// withBlocks is a whole file with blocks.
func withBlocks(blocks []string, entities ...string) string {
	return section("HEADER", groups(9, "$INSUNITS", 70, 4)) + section("BLOCKS", blocks...) + section("ENTITIES", entities...) + groups(0, "EOF")
}

func block(name string, entities ...string) string {
	return groups(0, "BLOCK", 8, "0", 2, name, 70, 0, 10, 0, 20, 0) + strings.Join(entities, "") + groups(0, "ENDBLK")
}

func line(x1, y1, x2, y2 float64, more ...any) string {
	return groups(0, "LINE") + groups(more...) + groups(10, x1, 20, y1, 11, x2, 21, y2)
}

func circle(x, y, r float64, more ...any) string {
	return groups(0, "CIRCLE") + groups(more...) + groups(10, x, 20, y, 40, r)
}

func insert(name string, x, y float64, more ...any) string {
	return groups(0, "INSERT", 2, name, 10, x, 20, y) + groups(more...)
}
