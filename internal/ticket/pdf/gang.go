package pdf

import (
	"io"
	"math"
	"strings"

	"brushfall/internal/ticket"
)

// WriteGang prints the paper of several designs on common sheets: the designs and
// what to take from the shelf, then every sheet to scale. Faults are those of Write.
func WriteGang(w io.Writer, g ticket.Gang, opt Options) error {
	p, err := newPage(g.Language, opt)
	if err != nil {
		return err
	}
	title := p.gangTitle(g)
	p.properties(title, p.v.Say("Common sheets"), opt)
	p.running(p.v.Say("Sheets"), title)
	p.newPage()
	p.gangHead(g, title)
	p.gangDesigns(g)
	p.counts(ticket.Ticket{Counts: g.Counts, Stones: g.Stones})
	p.gangLeft(g)
	p.gangSheets(g)
	return p.writeTo(w)
}

func (p *page) gangTitle(g ticket.Gang) string {
	designs, sheets := p.v.Say("%d designs", len(g.Designs)), p.v.Say("%d sheets", len(g.Sheets))
	if g.Roster() {
		return p.v.Say("%s of %s on %s", p.v.Say("%d transfers", g.Transfers()), designs, sheets)
	}
	return p.v.Say("%s on %s", designs, sheets)
}

func (p *page) gangHead(g ticket.Gang, title string) {
	p.style(true, 8.5, accent)
	p.text(margin, p.y+3, strings.ToUpper(p.v.Say("Sheet ticket")))
	p.shrunk(true, 26, 15, ink, title, p.inner())
	p.text(margin, p.y+14, title)
	p.y += 22
	const across = 3
	step := p.inner() / across
	for i := 0; i < len(g.Facts); i += across {
		bottom := p.y
		for j, f := range g.Facts[i:min(i+across, len(g.Facts))] {
			bottom = math.Max(bottom, p.fact(f, margin+float64(j)*step, p.y, step-3))
		}
		p.y = bottom + 0.4
	}
	p.y += gutter
}

// The columns of the list of designs, from the left margin, in mm.
const (
	gangName   = 9.0
	gangFolder = 70.0
	gangMade   = 100.0
	gangTimes  = 118.0
	gangFrame  = 126.0
	gangOn     = 162.0
	gangRow    = 6.4
)

func (p *page) gangDesigns(g ticket.Gang) {
	p.heading(p.v.Say("Designs"), p.v.Say("the letter marks a design's plates on the sheets: A2 is plate 2 of A"))
	p.gangDesignHead(g.Roster())
	nameRoom := gangFolder - gangName - 2
	if g.Roster() {
		nameRoom = gangMade - gangName - 14
	}
	for _, d := range g.Designs {
		if p.need(gangRow) {
			p.gangDesignHead(g.Roster())
		}
		base := p.y + 4.5
		p.style(true, 11, accent)
		p.text(margin, base, d.Key)
		p.style(true, 10, ink)
		p.text(margin+gangName, base, p.cropped(d.Name, nameRoom))
		if g.Roster() {
			p.textRight(margin+gangMade, base, p.v.Whole(d.Transfers))
			p.textRight(margin+gangTimes, base, p.v.Whole(d.Templates*d.Plates))
		} else {
			p.style(false, 9, grey)
			p.text(margin+gangFolder, base, p.cropped(d.Folder+"/", gangTimes-gangFolder-14))
			p.style(true, 10, ink)
			p.textRight(margin+gangTimes, base, p.v.Whole(d.Templates)+" × "+p.v.Whole(d.Plates))
		}
		p.style(false, 9, ink)
		p.text(margin+gangFrame, base, d.Frame)
		p.text(margin+gangOn, base, p.cropped(numbers(d.Sheets), p.inner()-gangOn))
		p.y += gangRow
		p.rule(margin, p.y, p.inner(), faint)
	}
	p.y += gutter
}

func (p *page) gangDesignHead(roster bool) {
	p.style(false, 8, grey)
	y := p.y + 3
	p.text(margin+gangName, y, p.v.Say("Design"))
	if roster {
		p.textRight(margin+gangMade, y, p.v.Say("Transfers"))
		p.textRight(margin+gangTimes, y, p.v.Say("Plates"))
	} else {
		p.text(margin+gangFolder, y, p.v.Say("Folder"))
		p.textRight(margin+gangTimes, y, p.v.Say("Templates × plates"))
	}
	p.text(margin+gangFrame, y, p.v.Say("Frame"))
	p.text(margin+gangOn, y, p.v.Say("On sheets"))
	p.y += 4.8
	p.rule(margin, p.y, p.inner(), grey)
}

// mostLeft is how many offcuts the paper names; offcuts.csv has them all.
const mostLeft = 12

func (p *page) gangLeft(g ticket.Gang) {
	left := g.LargestLeft(mostLeft)
	if len(left) == 0 {
		return
	}
	const columns, row = 3, 5.2
	rows := (len(left) + columns - 1) / columns
	p.need(8 + float64(rows)*row)
	p.heading(p.v.Say("Offcuts to keep"), p.v.Say("cut them off straight; the next run can use them as odd pieces"))
	for i, l := range left {
		x := margin + float64(i%columns)*p.inner()/columns
		y := p.y + float64(i/columns)*row
		p.tick(x, y+0.6, 3)
		p.style(false, 9.5, ink)
		p.text(x+5, y+3.4, l)
	}
	p.y += float64(rows)*row + gutter
}

// gangSheets draws the sheets, two beside each other.
func (p *page) gangSheets(g ticket.Gang) {
	if len(g.Sheets) == 0 {
		return
	}
	p.newPage()
	p.cautions([]ticket.Caution{g.Caution}) // where they are read: at the cutter
	p.y += gutter / 2
	beside := p.v.Say("to scale, as they lie in the cut files; the mark on an edge is the notch")
	if g.Mirrored {
		beside = p.v.Say("to scale, seen on the flocked face; the cut files hold them mirrored; the mark on an edge is the notch")
	}
	p.heading(p.v.Say("Sheets"), beside)
	const title = 9.0
	high := (p.height - foot - p.y - gutter) / 2
	width := (p.inner() - gutter) / 2
	top := p.y
	for i, s := range g.Sheets {
		if i > 0 && i%4 == 0 {
			p.newPage()
			top = p.y
			high = (p.height - foot - p.y - gutter) / 2
		}
		x := margin + float64(i%2)*(width+gutter)
		y := top + float64(i%4/2)*(high+gutter)
		what := s.Size
		if s.Odd {
			what = p.v.Say("odd piece, %s", what)
		}
		p.style(true, 11, ink)
		name := p.v.Say("Sheet %d", s.Number)
		p.text(x, y+4, name)
		indent := p.widthOf(name) + 2.5
		p.style(false, 9, grey)
		p.text(x+indent, y+4, what)
		p.gangSheet(s, x, y+title-2, width, high-title)
	}
	p.y = p.height
}

// gangSheet draws one sheet within a box.
func (p *page) gangSheet(s ticket.GangSheet, x, y, width, high float64) {
	scale := math.Min(width/s.Width, high/s.Height)
	p.draw(ink, 0.35)
	p.f.Rect(x, y, s.Width*scale, s.Height*scale, "D")
	p.f.SetDashPattern([]float64{1.2, 1}, 0)
	for _, r := range s.Left {
		p.fill(wash)
		p.draw(alarm, 0.2)
		p.f.Rect(x+r.X*scale, y+r.Y*scale, r.Width*scale, r.Height*scale, "DF")
	}
	p.f.SetDashPattern([]float64{}, 0)
	for _, r := range s.Left {
		p.marked(r, r.Size(p.v.Voice), x, y, scale, 7, alarm)
	}
	for _, q := range s.Plates {
		p.fill(panel)
		p.draw(accent, 0.25)
		p.f.Rect(x+q.X*scale, y+q.Y*scale, q.Width*scale, q.Height*scale, "DF")
		p.draw(accent, 0.5)
		at := [2]float64{q.X + q.Width/2, q.Y} // where the notch is
		if q.Turned {
			at = [2]float64{q.X + q.Width, q.Y + q.Height/2}
		}
		p.notchMark(x+at[0]*scale, y+at[1]*scale, q.Turned)
		p.marked(q.Rect, q.Label, x, y, scale, 13, ink)
	}
}

// notchMark draws a small V at the edge that is up.
func (p *page) notchMark(x, y float64, turned bool) {
	const half, deep = 1.1, 1.6
	if turned {
		p.f.Line(x, y-half, x-deep, y)
		p.f.Line(x-deep, y, x, y+half)
		return
	}
	p.f.Line(x-half, y, x, y+deep)
	p.f.Line(x, y+deep, x+half, y)
}

// marked prints a word in the middle of a rectangle, as large as it holds; on
// its side where that is larger.
func (p *page) marked(r ticket.Rect, word string, x, y, scale, most float64, c colour) {
	w, h := r.Width*scale, r.Height*scale
	cx, cy := x+(r.X+r.Width/2)*scale, y+(r.Y+r.Height/2)*scale
	size := p.shrunk(true, most, 4, c, word, math.Min(w-1.5, 3*h))
	if h > w && size < most {
		if along := p.shrunk(true, most, 4, c, word, math.Min(h-1.5, 3*w)); along > size {
			p.f.TransformBegin()
			p.f.TransformRotate(90, cx, cy)
			p.textMiddle(cx, cy+along*0.12, word)
			p.f.TransformEnd()
			return
		}
		p.style(true, size, c)
	}
	p.textMiddle(cx, cy+size*0.12, word)
}
