package svgin

import (
	"math"
	"strconv"
	"strings"
)

// scanner steps through the numbers of an attribute.
type scanner struct {
	s string
	i int
}

func (c *scanner) done() bool { return c.i >= len(c.s) }

// peek gives the next byte, 0 at the end.
func (c *scanner) peek() byte {
	if c.done() {
		return 0
	}
	return c.s[c.i]
}

func isSpace(b byte) bool {
	return b == ' ' || b == '\t' || b == '\n' || b == '\r' || b == '\f'
}

func isDigit(b byte) bool { return '0' <= b && b <= '9' }

func (c *scanner) space() {
	for !c.done() && isSpace(c.s[c.i]) {
		c.i++
	}
}

// comma skips white space with at most one comma in it.
func (c *scanner) comma() {
	c.space()
	if c.peek() == ',' {
		c.i++
		c.space()
	}
}

func (c *scanner) digits() int {
	from := c.i
	for isDigit(c.peek()) {
		c.i++
	}
	return c.i - from
}

// number reads a number as SVG 1.1 §4.2 writes it; an exponent is taken only
// with its digits, so that "1em" stays a number and a unit. Without a finite
// number the position stays.
func (c *scanner) number() (float64, bool) {
	from := c.i
	if b := c.peek(); b == '+' || b == '-' {
		c.i++
	}
	n := c.digits()
	if c.peek() == '.' {
		c.i++
		n += c.digits()
	}
	if n == 0 {
		c.i = from
		return 0, false
	}
	c.exponent()
	v, err := strconv.ParseFloat(c.s[from:c.i], 64)
	if err != nil || math.IsInf(v, 0) {
		c.i = from
		return 0, false
	}
	return v, true
}

func (c *scanner) exponent() {
	from := c.i
	if b := c.peek(); b != 'e' && b != 'E' {
		return
	}
	c.i++
	if b := c.peek(); b == '+' || b == '-' {
		c.i++
	}
	if c.digits() == 0 {
		c.i = from
	}
}

// word reads letters, digits, '-' and '_'.
func (c *scanner) word() string {
	from := c.i
	for !c.done() {
		b := c.s[c.i] | 0x20
		if !('a' <= b && b <= 'z' || isDigit(c.s[c.i]) || c.s[c.i] == '-' || c.s[c.i] == '_') {
			break
		}
		c.i++
	}
	return c.s[from:c.i]
}

// numbers reads a list of numbers that commas or white space part. It gives
// those before the first fault, and whether there was none.
func numbers(s string) ([]float64, bool) {
	c := scanner{s: s}
	c.space()
	var list []float64
	for !c.done() {
		v, ok := c.number()
		if !ok {
			return list, false
		}
		list = append(list, v)
		c.comma()
	}
	return list, true
}

// call reads "name(…)" and gives the name in lower case and what the
// brackets hold.
func (c *scanner) call() (name, inside string, ok bool) {
	c.space()
	name = strings.ToLower(c.word())
	c.space()
	if name == "" || c.peek() != '(' {
		return "", "", false
	}
	end := strings.IndexByte(c.s[c.i:], ')')
	if end < 0 {
		return "", "", false
	}
	inside = c.s[c.i+1 : c.i+end]
	c.i += end + 1
	return name, inside, true
}
