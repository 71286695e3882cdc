package web

// cautions are what to mind at a job, by the task's name: words on the page where the job
// is done (never medical or legal advice).
var cautions = map[string][]string{
	"load":         {"caution.stings", "caution.lifting", "caution.smoker"},
	"supers-on":    {"caution.stings", "caution.lifting", "caution.smoker"},
	"combs-back":   {"caution.stings", "caution.lifting"},
	"ripeness":     {"caution.stings", "caution.smoker"},
	"hives":        {"caution.stings", "caution.smoker"},
	"fed":          {"caution.stings", "caution.smoker"},
	"treated":      {"caution.stings", "caution.label-only"},
	"ended":        {"caution.stings", "caution.label-only"},
	"enquiry":      {"caution.stings"},
	"hot-in":       {"caution.lifting"},
	"spin":         {"caution.extractor", "caution.uncapper", "caution.floor"},
	"lot-change":   {"caution.extractor", "caution.lock-off", "caution.floor"},
	"cappings":     {"caution.extractor", "caution.lock-off"},
	"wax":          {"caution.wax", "caution.scald"},
	"melter":       {"caution.wax", "caution.scald"},
	"sieve":        {"caution.lock-off", "caution.floor"},
	"start":        {"caution.extractor", "caution.uncapper", "caution.floor", "caution.ill", "caution.stings"},
	"clean":        {"caution.lock-off", "caution.chemicals", "caution.floor"},
	"combs-stored": {"caution.lifting"},
}

// cautionsFor are the cautions of a task, in the person's language.
func (v *visit) cautionsFor(task string) (all []string) {
	for _, key := range cautions[task] {
		all = append(all, v.say(key))
	}
	return all
}
