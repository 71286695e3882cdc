package reckon

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"combline/internal/epcis"
	"combline/internal/gs1"
	"combline/internal/label"
	"combline/internal/quantity"
	"combline/internal/standard"
)

// codeSubjects are what codes and events say, and words that no label may bear.
func codeSubjects() []Subject {
	const general, exact = "GS1 General Specifications section 3, GS1 syntax dictionary, GS1 Digital Link URI syntax", "exact by the rule"
	return []Subject{
		{Name: "code", Help: "what a GS1 code or Digital Link address says, checked", Range: "an element string as a reader sends it (<GS> where it sends character 29), as printed with round brackets, or an address",
			Doubt: exact, Source: general, Example: `--code "(01)09521234543213(10)ABC123(15)281100"`,
			Inputs: []Input{text("code", "what the reader sent, or what stands in print"), count("year", "year to read two-digit years beside; left out: this rule's own, 2026").optional()},
			Answers: []Answer{says("elements", "each identifier with its value"), says("printed", "as it is printed under a bar code"), says("address", "canonical Digital Link address"),
				gives("net_kg", "kg", 0, "net weight it carries"), says("best_before", "best-before day"), says("use_by", "use-by or expiry day")}, answer: readCode},
		{Name: "canonical", Help: "the canonical address of a thing, from its EPC name or from any domain's address", Range: "sgtin, sscc, lgtin, sgln and the like; addresses of trade items, pallets, places and parties",
			Doubt: exact, Source: "CBV 2.0 section 8.9, GS1 Digital Link URI syntax", Example: "--name urn:epc:class:lgtin:4012345.012345.Lot987",
			Inputs:  []Input{text("name", "a name as urn:epc:..., or an address")},
			Answers: []Answer{says("address", "under id.gs1.org, at the finest level, without domain and query of its own")}, answer: canonicalName},
		{Name: "event", Help: "is an event of EPCIS 2.0 valid, and what is its name by its hash", Range: "an event or a whole document, as JSON",
			Doubt: exact, Source: "EPCIS 2.0 JSON schema; CBV 2.0 section 8.9 for the hash",
			Example: `--event '{"type":"ObjectEvent","eventTime":"2026-07-01T08:00:00.000Z","eventTimeZoneOffset":"+02:00","action":"ADD","quantityList":[{"epcClass":"https://id.gs1.org/01/09521234543213/10/L1","quantity":120,"uom":"KGM"}]}'`,
			Inputs:  []Input{file("event", "a file with the event or document, - for standard input, or the JSON itself")},
			Answers: []Answer{whether("valid", "does the standard's schema take it"), says("why", "what is wrong with it"), says("hash_id", "name of each event by its hash"), says("prehash", "the text that was hashed, of a single event")}, answer: judgeEvent},
		{Name: "claims", Help: "words that honey's label must not bear, in any language of the list", Range: "any text", Doubt: "a list of words finds no claim that is made without them",
			Source:  "Regulations (EC) 1924/2006 art. 10 and 12 and (EU) 1169/2011 art. 7(3); the words themselves: common practice, no source",
			Caution: "raw, organic, local and pure may stand where the record shows a basis; cure, health and sugar words never",
			Example: `--text "soothes sore throats"`, Inputs: []Input{text("text", "what is to be printed")},
			Answers: []Answer{whether("clean", "is no such word in it"), says("found", "each word and its class")}, answer: findClaims},
		{Name: "ingredient-share", Help: "an ingredient's percentage on a label, with the moisture that baking or boiling took", Range: "masses above 0", Doubt: "half a tenth of a point",
			Source: "Regulation (EU) 1169/2011 art. 22, Annex VIII 3 (from memory)", Example: "--ingredient-kg 60 --finished-kg 134",
			Inputs:  []Input{number("ingredient_kg", quantity.KgUnit, "the ingredient at use, kg"), number("finished_kg", quantity.KgUnit, "the finished product, kg")},
			Answers: []Answer{gives("share", "", 0, "to a tenth"), says("form", "per cent; or grams in 100 g, where it would be more than 100 %")}, answer: ingredientShare},
	}
}

func readCode(q *Query) error {
	typed := strings.TrimSpace(q.word("code"))
	read := gs1.Parse
	if strings.HasPrefix(typed, "http") {
		read = gs1.ParseLink
	}
	es, err := read(typed)
	if err != nil {
		return err
	}
	all := make([]string, len(es))
	for i, e := range es {
		all[i] = e.Code + "=" + e.Value
	}
	q.say("elements", strings.Join(all, "; "))
	q.say("printed", es.Print())
	if address, err := es.Link(gs1.Home); err == nil {
		q.say("address", address)
	} else {
		q.note(err.Error())
	}
	if g, ok := es.Grams(); ok {
		q.put("net_kg", float64(g)/1000)
	}
	for code, name := range map[string]string{"15": "best_before", "17": "use_by"} {
		if v := es.Value(code); v != "" {
			day, err := gs1.Day(v, int(q.numOr("year", 2026)))
			if err != nil {
				return err
			}
			q.say(name, day.Format(time.DateOnly))
		}
	}
	return nil
}

func canonicalName(q *Query) error {
	address, err := gs1.Canonical(strings.TrimSpace(q.word("name")))
	if err != nil {
		return err
	}
	q.say("address", address)
	return nil
}

func judgeEvent(q *Query) error {
	body := []byte(q.word("event"))
	events, _, c, err := epcis.Events(body)
	if err != nil {
		return err
	}
	err = epcis.Judge(body)
	var breach *epcis.Breach
	if err != nil && !errors.As(err, &breach) {
		return err
	}
	q.tell("valid", err == nil)
	q.say("why", "nothing")
	if err != nil {
		q.say("why", breach.Why)
	}
	var ids []string
	for _, e := range events {
		id, err := epcis.HashID(e, c)
		if err != nil {
			q.note(err.Error())
			return nil
		}
		ids = append(ids, id)
	}
	q.say("hash_id", strings.Join(ids, " "))
	if len(events) == 1 {
		text, err := epcis.Prehash(events[0], c)
		if err != nil {
			return err
		}
		q.say("prehash", text)
	}
	return nil
}

func findClaims(q *Query) error {
	found, err := label.FindClaims(q.word("text"))
	if err != nil {
		return err
	}
	q.tell("clean", len(found) == 0)
	all := make([]string, len(found))
	for i, f := range found {
		all[i] = fmt.Sprintf("%s (%s)", f.Text, f.Class)
	}
	if len(all) > 0 {
		q.say("found", strings.Join(all, ", "))
	}
	return nil
}

func ingredientShare(q *Query) error {
	part, finished := q.num("ingredient_kg"), q.num("finished_kg")
	if !(part > 0 && part <= 1e8 && finished > 0 && finished <= 1e8) {
		return fmt.Errorf("%g kg in %g kg finished, want masses above 0 up to 100 000 000 kg: %w", part, finished, standard.ErrOutOfRange)
	}
	tenths, grams, err := label.StatedShare(wholeGrams(part), wholeGrams(finished))
	if err != nil {
		return err
	}
	q.put("share", float64(tenths)/10)
	q.say("form", map[bool]string{false: "per cent", true: "grams in 100 g"}[grams])
	return nil
}
