package web

import "combline/internal/record"

// A task has a page of its own: /do/NAME?of=CODE.
type doPage struct {
	*frame
	Entry *entry
}

// tasks are what can be written down on a page of its own, by name. Each makes the
// form about the code that the page was asked for.
var tasks = map[string]func(*visit, record.Code) (*task, error){
	"hold":             (*visit).holdTask,
	"release":          (*visit).releaseTask,
	"lift":             (*visit).liftTask,
	"touched":          (*visit).touchedTask,
	"move":             (*visit).moveTask,
	"drum-off":         (*visit).drumOffTask,
	"skim":             (*visit).skimTask,
	"stir":             (*visit).stirTask,
	"tip-back":         (*visit).tipBackTask,
	"stock-check":      (*visit).stockCheckTask,
	"place":            (*visit).placeTask,
	"temperature":      (*visit).temperatureTask,
	"reading":          (*visit).readingTask,
	"recall":           (*visit).recallTask,
	"order":            (*visit).orderTask,
	"order-drop":       (*visit).orderDropTask,
	"promise":          (*visit).promiseTask,
	"promise-back":     (*visit).promiseBackTask,
	"recipe":           (*visit).recipeTask,
	"material-in":      (*visit).materialInTask,
	"material-count":   (*visit).materialCountTask,
	"material-order":   (*visit).materialOrderTask,
	"complaint":        (*visit).complaintTask,
	"complaint-answer": (*visit).complaintAnswerTask,
	"photo":            (*visit).photoTask,
	"recall-end":       (*visit).recallEndTask,
	"recall-step":      (*visit).recallStepTask,
	"setting":          (*visit).settingTask,
	"left":             (*visit).leftTask,
	"shut-out":         (*visit).shutOutTask,
	"plan-drop":        (*visit).planDropTask,
	"want-warm":        (*visit).wantWarmTask,
	"tick":             (*visit).tickTask,
	"warm-in":          (*visit).warmInTask,
	"agree":            (*visit).agreeTask,
}

func (v *visit) do() error {
	name := v.r.PathValue("task")
	build, ok := tasks[name]
	if !ok {
		return errNotFound
	}
	t, err := build(v, v.of())
	if err != nil {
		return err
	}
	t.Name = name
	if t.Title == "" {
		t.Title = v.say("page.task." + name)
	}
	if t.Back == "" {
		t.Back = local(v.arg("back"))
	}
	e, done, err := v.take(t)
	if err != nil || done {
		return err
	}
	p := doPage{frame: v.frame(v.tabOf(name), t.Title), Entry: e}
	p.about(v.of())
	return v.render("do", p)
}

// tabOf is the tab under which a task's page stands.
func (v *visit) tabOf(name string) string {
	switch name {
	case "setting", "left", "shut-out", "recipe", "material-in", "material-count", "material-order": // the house's own, in the menu
		return ""
	case "order", "order-drop", "promise", "promise-back", "complaint", "complaint-answer", "photo":
		return "send"
	case "plan-drop":
		return "blend"
	}
	return "stock"
}
