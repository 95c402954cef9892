package hpgl_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// stroke is where the head goes between the blade's going down and going up, in
// plotter units. Arcs are points half a degree apart.
type stroke [][2]float64

// reader reads HP-GL as the HP 7475A manual defines it, for the commands a
// cutter needs, and refuses all else: IN, SP, VS, FS, PU, PD, AA, each closed by
// a semicolon, coordinates in pairs of whole numbers from 0 to 32767, the pen
// chosen before it moves, up and home at the end. FS is that of the HP 7550A.
type reader struct {
	strokes []stroke
	here    [2]float64
	down    bool
	pen     int
	set     map[string]bool
	home    bool
}

var number = regexp.MustCompile(`^-?\d+(\.\d{1,4})?$`)

func strict(text string) ([]stroke, error) {
	text, ok := strings.CutSuffix(text, ";\n")
	if !ok {
		return nil, fmt.Errorf("the file does not end with a closed command")
	}
	r := &reader{set: map[string]bool{}}
	for i, command := range strings.Split(text, ";\n") {
		command = strings.TrimPrefix(command, "\n") // one empty line may stand before a command
		if len(command) < 2 {
			return nil, fmt.Errorf("command %d: %q is too short", i+1, command)
		}
		name, rest := command[:2], command[2:]
		if (name == "IN") != (i == 0) {
			return nil, fmt.Errorf("command %d: %s, want IN first and only once", i+1, name)
		}
		if err := r.command(name, rest); err != nil {
			return nil, fmt.Errorf("command %d: %w", i+1, err)
		}
	}
	if !r.home || r.pen != 0 {
		return nil, fmt.Errorf("the file ends with pen %d, home %v", r.pen, r.home)
	}
	return r.strokes, nil
}

func (r *reader) command(name, rest string) error {
	switch name {
	case "IN":
		if rest != "" {
			return fmt.Errorf("IN takes nothing, not %q", rest)
		}
	case "SP":
		n, err := strconv.Atoi(rest)
		if err != nil || n < 0 || n > 8 || r.down {
			return fmt.Errorf("pen %q", rest)
		}
		r.pen = n
	case "VS", "FS":
		v, err := strconv.ParseFloat(rest, 64)
		if err != nil || !number.MatchString(rest) || v <= 0 || (name == "VS" && v >= 128) || len(r.strokes) > 0 || r.set[name] || r.pen == 0 {
			return fmt.Errorf("%s %q", name, rest)
		}
		r.set[name] = true
	case "PU", "PD":
		return r.straight(name == "PD", rest)
	case "AA":
		return r.arc(rest)
	default:
		return fmt.Errorf("unknown %s", name)
	}
	return nil
}

func (r *reader) straight(down bool, rest string) error {
	if rest == "" && !down || r.pen == 0 {
		return fmt.Errorf("a move without a pen, or to nowhere")
	}
	if down && !r.down {
		r.strokes = append(r.strokes, stroke{r.here})
	}
	r.down = down
	if rest != "" {
		points, err := pairs(rest)
		if err != nil {
			return err
		}
		for _, p := range points {
			r.to(p)
		}
	}
	r.home = !r.down && r.here == [2]float64{}
	return nil
}

func (r *reader) to(p [2]float64) {
	r.here = p
	if last := len(r.strokes) - 1; r.down {
		r.strokes[last] = append(r.strokes[last], p)
	}
}

// arc is AA: centre, angle in degrees, positive counter-clockwise, and the chord
// angle, which is left out of account: cutters that know arcs cut them finer. The
// place after it is kept as it is, not rounded.
func (r *reader) arc(rest string) error {
	fields := strings.Split(rest, ",")
	if len(fields) != 4 || !r.down {
		return fmt.Errorf("an arc %q with the pen down %v", rest, r.down)
	}
	centre, err := pairs(fields[0] + "," + fields[1])
	if err != nil {
		return err
	}
	angle, err1 := strconv.ParseFloat(fields[2], 64)
	chord, err2 := strconv.ParseFloat(fields[3], 64)
	if err1 != nil || err2 != nil || !number.MatchString(fields[2]) || math.Abs(angle) > 360 || chord < 0.5 || chord > 180 {
		return fmt.Errorf("the angles %q, %q", fields[2], fields[3])
	}
	c, from := centre[0], r.here
	n := math.Ceil(math.Abs(angle) * 2)
	for i := 1.0; i <= n; i++ {
		sin, cos := math.Sincos(angle * i / n * math.Pi / 180)
		x, y := from[0]-c[0], from[1]-c[1]
		r.to([2]float64{c[0] + x*cos - y*sin, c[1] + x*sin + y*cos})
	}
	return nil
}

func pairs(text string) ([][2]float64, error) {
	fields := strings.Split(text, ",")
	if len(fields)%2 != 0 {
		return nil, fmt.Errorf("%d coordinates, which are not pairs", len(fields))
	}
	var out [][2]float64
	for i := 0; i < len(fields); i += 2 {
		var p [2]float64
		for k := range p {
			v, err := strconv.ParseUint(fields[i+k], 10, 15)
			if err != nil {
				return nil, fmt.Errorf("coordinate %q", fields[i+k])
			}
			p[k] = float64(v)
		}
		out = append(out, p)
	}
	return out, nil
}
