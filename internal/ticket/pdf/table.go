package pdf

import "math"

// column is one column of a table. One that is not right-aligned takes what the others
// leave; numbers take what their widest cell needs.
type column struct {
	title string
	right bool // of numbers, ending at their right edge
	tick  bool // a box to tick
}

// cell is what stands in a row's column: a text that wraps, smaller lines below it.
// Look, if any, is printed by the row as a stone before its first cell.
type cell struct {
	text  string
	heavy bool
	quiet bool
	small []string
}

// row is a row of cells. mark, if any, draws a small sign of the width signWidth
// before the first cell, about its middle.
type row struct {
	cells []cell
	mark  func(x, y float64)
}

// Measures of tables, in mm and points.
const (
	tableSize    = 10.0
	tableSmall   = 8.5
	tableLeading = 4.5
	smallLeading = 3.9
	tablePad     = 2.1
	columnGap    = 4.0
	tickSide     = 4.2
	signWidth    = 8.0
	leastText    = 42.0 // the least room for words
)

// table prints rows below their titles, which every page repeats. Rows stay whole
// where a page can hold one.
func (p *page) table(columns []column, rows []row) {
	t := p.newTable(columns, rows)
	p.need(8 + t.height(rows, 0) + 2*tablePad)
	t.head()
	for i := range rows {
		height := t.height(rows, i)
		if height <= p.height-foot-margin-12 && p.need(height) {
			t.head()
		}
		t.row(rows[i])
	}
}

// table is a table that is being printed: the x of each column's text, or of the
// right edge of one of numbers.
type table struct {
	p       *page
	columns []column
	x       []float64
	width   []float64
	size    float64
	sign    float64
}

// newTable shares the width out; where words would get less than leastText, the
// figures shrink.
func (p *page) newTable(columns []column, rows []row) *table {
	t := &table{p: p, columns: columns, size: tableSize}
	for _, r := range rows {
		if r.mark != nil {
			t.sign = signWidth
		}
	}
	for ; t.size >= 6; t.size -= 0.5 {
		if t.share(rows) >= leastText {
			break
		}
	}
	return t
}

// share sets the columns and gives the room of each column of words.
func (t *table) share(rows []row) float64 {
	t.x, t.width = make([]float64, len(t.columns)), make([]float64, len(t.columns))
	free, texts := t.p.inner()-t.sign-columnGap*float64(len(t.columns)-1), 0
	for i, c := range t.columns {
		switch {
		case c.tick:
			t.p.style(false, 8, grey)
			t.width[i] = math.Max(tickSide, t.p.widthOf(c.title))
		case c.right:
			t.width[i] = t.widest(i, rows)
		default:
			texts++
			continue
		}
		free -= t.width[i]
	}
	room := free / math.Max(1, float64(texts))
	x := margin + t.sign
	for i, c := range t.columns {
		if !c.right && !c.tick {
			t.width[i] = math.Max(room, 20)
		}
		t.x[i] = x
		if c.right {
			t.x[i] = x + t.width[i]
		}
		x += t.width[i] + columnGap
	}
	return room
}

func (t *table) widest(i int, rows []row) float64 {
	t.p.style(false, 8, grey)
	most := t.p.widthOf(t.columns[i].title)
	for _, r := range rows {
		if i < len(r.cells) {
			t.p.style(r.cells[i].heavy, t.size, ink)
			most = math.Max(most, t.p.widthOf(r.cells[i].text))
		}
	}
	return most
}

func (t *table) head() {
	p := t.p
	p.style(false, 8, grey)
	for i, c := range t.columns {
		switch {
		case c.right:
			p.textRight(t.x[i], p.y+3, c.title)
		default:
			p.text(t.x[i], p.y+3, c.title)
		}
	}
	p.y += 4.8
	p.rule(margin, p.y, p.inner(), grey)
}

// tableLine is a printed line of a cell.
type tableLine struct {
	text         string
	heavy, small bool
	quiet        bool
}

func (t *table) linesOf(i int, c cell) []tableLine {
	p := t.p
	if t.columns[i].right || t.columns[i].tick {
		return []tableLine{{c.text, c.heavy, false, c.quiet}}
	}
	var out []tableLine
	p.style(c.heavy, t.size, ink)
	for _, l := range p.wrapped(c.text, t.width[i]) {
		out = append(out, tableLine{l, c.heavy, false, c.quiet})
	}
	p.style(false, tableSmall, grey)
	for _, s := range c.small {
		for _, l := range p.wrapped(s, t.width[i]) {
			out = append(out, tableLine{l, false, true, true})
		}
	}
	return out
}

func leading(l tableLine) float64 {
	if l.small {
		return smallLeading
	}
	return tableLeading
}

func (t *table) height(rows []row, i int) float64 {
	if i >= len(rows) {
		return 0
	}
	most := tableLeading
	for k, c := range rows[i].cells {
		h := 0.0
		for _, l := range t.linesOf(k, c) {
			h += leading(l)
		}
		most = math.Max(most, h)
	}
	return most + 2*tablePad
}

// row prints a row; one that no page holds goes on over pages, line by line.
func (t *table) row(r row) {
	p := t.p
	p.y += tablePad
	if r.mark != nil {
		r.mark(margin+signWidth/2-1, p.y+tableLeading/2)
	}
	top, bottom := p.y, p.y+tableLeading
	var words []tableLine
	at := 0
	for i, c := range r.cells {
		lines := t.linesOf(i, c)
		switch {
		case t.columns[i].tick:
			p.tick(t.x[i], top-0.1, tickSide)
		case t.columns[i].right:
			t.print(i, top, lines[0])
		case words == nil:
			words, at = lines, i
		default:
			y := top
			for _, l := range lines {
				t.print(i, y, l)
				y += leading(l)
			}
			bottom = math.Max(bottom, y)
		}
	}
	for _, l := range words {
		if p.need(leading(l)) {
			t.head()
			p.y += tablePad
			bottom = p.y
		}
		t.print(at, p.y, l)
		p.y += leading(l)
	}
	p.y = math.Max(p.y, bottom) + tablePad
	p.rule(margin, p.y, p.inner(), faint)
}

func (t *table) print(i int, y float64, l tableLine) {
	p, c := t.p, ink
	if l.quiet {
		c = grey
	}
	size := t.size
	if l.small {
		size = tableSmall
	}
	p.style(l.heavy, size, c)
	if t.columns[i].right {
		p.textRight(t.x[i], y+3.5, l.text)
		return
	}
	p.text(t.x[i], y+3.5, l.text)
}
