package web

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"
)

// field is a drawing of rows of rounded shapes, each a region of its own; of no rows,
// a square.
func field(columns, rows int) string {
	if columns == 0 {
		return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><rect id="square" width="9" height="9" fill="#1f4e79"/></svg>`
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d">`, columns*60, rows*60)
	for y := range rows {
		for x := range columns {
			fmt.Fprintf(&b, `<path id="r%d" fill="#1f4e79" transform="translate(%d %d)" d="M30 4C44 4 56 14 54 30C52 46 44 56 30 52C14 50 4 42 6 28C8 12 16 4 30 4Z"/>`, y*columns+x, x*60, y*60)
		}
	}
	return b.String() + "</svg>"
}

// BenchmarkChangedSetting is what someone waits for who drags a setting: the request,
// the layout, plates, sheets and counts, and the answer read whole, over a connection.
// Design of about 5,000 stones; ms-median is the figure, ms-server its part in the
// server.
func BenchmarkChangedSetting(b *testing.B) {
	for _, c := range []struct {
		name          string
		columns, rows int
		rule          string
		values        []string
		key           string
	}{
		{"gap of one of 24 regions", 6, 4, "r7", []string{"1.1 mm", "1.2 mm", "1.3 mm", "1.4 mm"}, "gap"},
		{"colour of one of 24 regions", 6, 4, "r7", []string{"jet", "crystal", "sun", "jonquil"}, "colour"},
		{"gap of all 24 regions", 6, 4, "", []string{"1.1 mm", "1.15 mm", "1.2 mm", "1.25 mm"}, "gap"},
		{"gap of the one region there is", 1, 1, "", []string{"1.1 mm", "1.15 mm", "1.2 mm", "1.25 mm"}, "gap"},
		{"colour of the one region there is", 1, 1, "", []string{"jet", "crystal", "sun", "jonquil"}, "colour"},
		{"gap of a square", 0, 0, "", []string{"0.9 mm", "0.95 mm", "1 mm", "1.05 mm"}, "gap"},
	} {
		b.Run(c.name, func(b *testing.B) { benchChange(b, c.columns, c.rows, c.rule, c.key, c.values) })
	}
}

func benchChange(b *testing.B, columns, rows int, rule, key string, values []string) {
	w := openWindow(b)
	d := read[designBody](w.drop("/api/designs", "field.svg", []byte(field(columns, rows))).is(201))
	job := func(value string) map[string]any {
		j := changed(b, d.Job, map[string]any{"width": wide(columns), "stone": map[string]any{"size": "SS6"}, "sheet": map[string]any{"width": "500 mm", "height": "500 mm"}})
		of := j
		if rule != "" {
			r := map[string]any{"match": map[string]string{"id": rule}}
			j["regions"] = []any{r}
			of = r
		}
		if of[key] = value; key == "colour" {
			delete(of, key)
			of["stone"] = map[string]any{"size": "SS6", "colour": value}
		}
		return j
	}
	ask := func(value string) layoutBody {
		return read[layoutBody](w.send("POST", "/api/designs/"+d.ID+"/layout", map[string]any{"job": job(value)}).is(200))
	}
	first := ask(values[len(values)-1])
	var all, server []float64
	b.ResetTimer()
	for i := range b.N {
		begun := time.Now()
		l := ask(values[i%len(values)])
		all = append(all, float64(time.Since(begun))/1e6)
		server = append(server, l.MS)
	}
	b.ReportMetric(float64(first.Total.Pieces), "stones")
	b.ReportMetric(median(all), "ms-median")
	b.ReportMetric(median(server), "ms-server")
}

func median(v []float64) float64 {
	slices.Sort(v)
	return v[len(v)/2]
}

// wide is how wide the drawing is to be for about 5,000 stones.
func wide(columns int) string {
	switch columns {
	case 0:
		return "192 mm"
	case 1:
		return "205 mm"
	}
	return "330 mm"
}
