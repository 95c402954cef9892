package store

// priceLaws are those of rates, the price list and quotes.
func priceLaws() []law {
	return []law{
		{6, "the guards of prices are there", guardsOf("'rates' AS t UNION SELECT 'price_list'")},
		{8, "the guards of quotes are there", guardsOf("'quotes' AS t")},
		{8, "a taken quote is a job of its customer", `SELECT 'quote ' || q.id FROM quotes q JOIN jobs j ON j.id = q.job WHERE j.customer IS NOT q.customer`},
		{8, "no number is missing", `SELECT 'of ' || MAX(id) || ' quotes ' || COUNT(*) || ' are there' FROM quotes HAVING COALESCE(MAX(id), 0) <> COUNT(*)`},
	}
}

// guardsOf gives the query for triggers that are missing of the three that every one
// of the tables has.
func guardsOf(tables string) string {
	return `SELECT name || ' is missing' FROM (
			SELECT t || '_keep_' || v AS name FROM (SELECT ` + tables + `), (SELECT 'insert' AS v UNION SELECT 'update' UNION SELECT 'delete'))
		WHERE name NOT IN (SELECT name FROM sqlite_schema WHERE type = 'trigger')`
}
