package store

import (
	"context"
	"fmt"

	"brushfall/internal/shop"
)

// jobLaws are those of jobs, from the schema on that has them.
func jobLaws() []law {
	return []law{
		{4, "a job is where its last step left it", `SELECT 'job ' || j.id || ' is ' || j.state FROM jobs j
			WHERE j.state IS NOT (SELECT s.state FROM job_steps s WHERE s.job = j.id ORDER BY s.id DESC LIMIT 1)`},
		{4, "the steps of a job follow each other", `SELECT 'step ' || id || ' of job ' || job || ' goes from ' || COALESCE(was, 'nothing') || ' to ' || state FROM (
				SELECT id, job, what, state, LAG(state) OVER (PARTITION BY job ORDER BY id) AS was FROM job_steps)
			WHERE NOT CASE what
				WHEN 'asked' THEN was IS NULL AND state = 'asked'
				WHEN 'changed' THEN was IS state AND state IN ('asked', 'promised', 'made')
				WHEN 'promised' THEN COALESCE(was IN ('asked', 'promised'), FALSE) AND state = 'promised'
				WHEN 'made' THEN was IS 'promised' AND state IN ('promised', 'made')
				WHEN 'wasted' THEN was IS state AND state IN ('promised', 'made')
				WHEN 'handed over' THEN was IS 'made' AND state = 'handed over'
				ELSE COALESCE(was IN ('asked', 'promised', 'made'), FALSE) AND state = 'dropped' END`},
		{4, "a line has made what its steps say", `SELECT 'line ' || l.line || ' of job ' || l.job || ' has ' || l.made || ' made, ' || l.drawn || ' of them from the shelf' FROM job_lines l
			LEFT JOIN (SELECT job, line, SUM(transfers) AS made, SUM(drawn) AS drawn FROM job_steps WHERE what = 'made' GROUP BY job, line) s ON s.job = l.job AND s.line = l.line
			WHERE l.made <> COALESCE(s.made, 0) OR l.drawn <> COALESCE(s.drawn, 0)`},
		{4, "a step is of a line that there is", `SELECT 'step ' || id FROM job_steps s WHERE line > 0 AND NOT EXISTS (SELECT 1 FROM job_lines l WHERE l.job = s.job AND l.line = s.line)`},
		{4, "a job has lines, and is made when they are", `SELECT 'job ' || j.id || ' is ' || j.state FROM jobs j LEFT JOIN job_lines l ON l.job = j.id GROUP BY j.id
			HAVING COUNT(l.line) = 0 OR (j.state IN ('made', 'handed over')) > (MIN(l.made = l.quantity)) OR (j.state = 'promised' AND MIN(l.made = l.quantity)) OR (j.state = 'asked' AND MAX(l.made) > 0)`},
		{4, "what was made is in the ledger", `SELECT 'step ' || s.id || ' made ' || (s.transfers - s.drawn) || ' of design ' || l.design || ' and used ' || had || ' ' || size || ' ' || colour FROM (
				SELECT s.id, l.design, d.size, d.colour, d.pieces * (s.transfers - s.drawn) AS must, ` + booked(`used`, `d.size`, `d.colour`) + ` AS had
				FROM job_steps s JOIN job_lines l ON l.job = s.job AND l.line = s.line JOIN design_stones d ON d.design = l.design WHERE s.what = 'made'
			) x JOIN job_steps s ON s.id = x.id JOIN job_lines l ON l.job = s.job AND l.line = s.line WHERE must <> -had`},
		{4, "what came from the shelf and went there is in the ledger", `SELECT 'step ' || id || ' has ' || drew || ' transfers from the shelf and ' || came || ' to it' FROM (
				SELECT s.id, s.drawn, CASE l.destination WHEN 'shelf' THEN s.transfers - s.drawn ELSE 0 END AS made,
					-` + booked(`used`, `'transfer'`, `'design ' || l.design`) + ` AS drew, ` + booked(`received`, `'transfer'`, `'design ' || l.design`) + ` AS came
				FROM job_steps s JOIN job_lines l ON l.job = s.job AND l.line = s.line WHERE s.what = 'made')
			WHERE drew <> drawn OR came <> made`},
		{4, "what a step did to the stock fits it", `SELECT 'deed ' || d.id || ' of step ' || s.id FROM step_deeds sd JOIN deeds d ON d.id = sd.deed JOIN job_steps s ON s.id = sd.step
			WHERE NOT CASE s.what WHEN 'made' THEN d.what = 'used' OR (d.what = 'received' AND d.size = 'transfer') WHEN 'wasted' THEN d.what = 'spoiled' ELSE FALSE END`},
		{4, "no number is missing", `SELECT 'of ' || had || ' ' || what || ' ' || n || ' are there' FROM (
				SELECT 'jobs' AS what, COALESCE(MAX(id), 0) AS had, COUNT(*) AS n FROM jobs
				UNION ALL SELECT 'job steps', COALESCE(MAX(id), 0), COUNT(*) FROM job_steps
				UNION ALL SELECT 'customers', COALESCE(MAX(id), 0), COUNT(*) FROM customers
				UNION ALL SELECT 'designs', COALESCE(MAX(id), 0), COUNT(*) FROM designs) WHERE had <> n`},
		{4, "the guards of jobs and customers are there", `SELECT name || ' is missing' FROM (
				SELECT t || '_keep_' || v AS name FROM (SELECT 'customers' AS t UNION SELECT 'designs' UNION SELECT 'job_steps' UNION SELECT 'step_deeds'), (SELECT 'insert' AS v UNION SELECT 'update' UNION SELECT 'delete')
				UNION SELECT 'jobs_keep_delete' UNION SELECT 'jobs_keep_insert' UNION SELECT 'jobs_moves' UNION SELECT 'design_stones_keep_update' UNION SELECT 'design_stones_keep_delete')
			WHERE name NOT IN (SELECT name FROM sqlite_schema WHERE type = 'trigger')`},
		{schemaOfMaking, "what was brushed for a job is in a template's history", `SELECT 'step ' || s.id FROM step_templates st JOIN job_steps s ON s.id = st.step
			JOIN job_lines l ON l.job = s.job AND l.line = s.line JOIN designs d ON d.id = l.design
			JOIN template_events e ON e.id = st.event JOIN templates t ON t.id = e.template
			WHERE s.what <> 'made' OR e.what <> 'brushed' OR e.times <> s.transfers - s.drawn OR t.digest <> d.digest`},
		{schemaOfMaking, "a line is handed over when it is made", `SELECT 'line ' || h.line || ' of job ' || h.job FROM handed_lines h
			JOIN job_lines l ON l.job = h.job AND l.line = h.line JOIN jobs j ON j.id = h.job
			WHERE l.made <> l.quantity OR j.state = 'asked' OR l.destination = 'shelf' OR (SELECT job FROM job_steps WHERE id = h.after) IS NOT h.job`},
		{schemaOfMaking, "a made job is handed over when its lines are", `SELECT 'job ' || j.id FROM jobs j JOIN job_lines l ON l.job = j.id LEFT JOIN handed_lines h ON h.job = l.job AND h.line = l.line
			WHERE j.state = 'made' GROUP BY j.id HAVING MIN(l.destination = 'shelf' OR h.line IS NOT NULL)`},
		{schemaOfMaking, "the guards of making are there", guardsOf("'design_plates' AS t UNION SELECT 'step_templates' UNION SELECT 'handed_lines'")},
	}
}

// booked is the SQL of the pieces that the deeds of step s did to a kind.
func booked(what, size, colour string) string {
	return fmt.Sprintf(`COALESCE((SELECT SUM(e.pieces) FROM step_deeds sd JOIN deeds x ON x.id = sd.deed AND x.what = '%s' AND x.size = %s AND x.colour = %s JOIN entries e ON e.deed = x.id WHERE sd.step = s.id), 0)`, what, size, colour)
}

// place is a kind in a line of a job.
type place struct {
	job  int64
	line int
	kind shop.Kind
}

// checkReservations works out anew what promised jobs reserve, and tells of every
// row that is not so.
func (b *Book) checkReservations(ctx context.Context, r *Report) error {
	p, err := b.planner(ctx, b.db)
	if err != nil {
		return b.wrap(err)
	}
	lines, err := p.promised(ctx, 0)
	if err != nil {
		return b.wrap(err)
	}
	must := map[place]int{}
	cutters := map[int64][]shop.PromisedLine{}
	for _, l := range lines {
		d, err := p.design(ctx, l.Design)
		if err != nil {
			return b.wrap(err)
		}
		if _, ok := cutters[l.Design]; !ok {
			if cutters[l.Design], err = p.cutters(ctx, l.Design); err != nil {
				return b.wrap(err)
			}
		}
		for _, w := range l.Reserves(d, cuts(cutters[l.Design], l.Job, l.Number), p.usual) {
			must[place{l.Job, l.Number, w.Kind}] = w.Pieces
		}
	}
	tell := func(at place, had int) {
		if n := must[at]; n != had && len(r.Problems) < mostProblems {
			r.Problems = append(r.Problems, fmt.Sprintf("open jobs reserve what they take: line %d of job %d takes %d of %s and reserves %d", at.line, at.job, n, at.kind, had))
		}
		delete(must, at)
	}
	err = b.each(ctx, `SELECT job, line, size, colour, pieces FROM reservations ORDER BY job, line`, nil, func(scan func(...any) error) error {
		var at place
		var had int
		if err := scan(&at.job, &at.line, &at.kind.Size, &at.kind.Colour, &had); err != nil {
			return err
		}
		tell(at, had)
		return nil
	})
	if err != nil {
		return err
	}
	for _, l := range lines { // what is left of must was not there
		for _, w := range l.Reserves(p.designs[l.Design], cuts(cutters[l.Design], l.Job, l.Number), p.usual) {
			if at := (place{l.Job, l.Number, w.Kind}); must[at] > 0 {
				tell(at, 0)
			}
		}
	}
	return nil
}
