package api_test

import (
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api"
	"benchproof.example/monitor/draft"
	"benchproof.example/monitor/draft/dialogue"
	"benchproof.example/monitor/drill/course"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/timeline"
)

// schemaTypes are the types that the schemas of the description describe: all of them.
func schemaTypes() map[string]reflect.Type {
	types := map[string]reflect.Type{
		"Port": reflect.TypeFor[event.Port](), "LineFault": reflect.TypeFor[event.LineFaultData](),
		"Refused": reflect.TypeFor[state.Refused](), "Channel": reflect.TypeFor[state.Channel](), "ChannelRange": reflect.TypeFor[state.ChannelRange](),
		"Histogram": reflect.TypeFor[state.Histogram](),
		"Board":     reflect.TypeFor[state.Board](), "Output": reflect.TypeFor[state.Output](), "Phone": reflect.TypeFor[state.Phone](),
		"Claim": reflect.TypeFor[state.Claim](), "Span": reflect.TypeFor[event.Span](), "Recorder": reflect.TypeFor[state.Recorder](),
		"Sheet": reflect.TypeFor[state.Sheet](), "SheetLine": reflect.TypeFor[state.SheetLine](), "SheetRead": reflect.TypeFor[state.SheetRead](),
		"SheetClaim": reflect.TypeFor[state.SheetClaim](), "SheetCell": reflect.TypeFor[state.SheetCell](),
		"Next": reflect.TypeFor[state.Next](), "Setting": reflect.TypeFor[state.Setting](),
		"Event": reflect.TypeFor[timeline.Entry](), "DrillStep": reflect.TypeFor[event.DrillStep](), "PaperEntry": reflect.TypeFor[event.Paper](),
		"Account": reflect.TypeFor[state.Account](), "TapAccount": reflect.TypeFor[state.TapAccount](), "SoakCondition": reflect.TypeFor[state.SoakCondition](),
		"MissedShare": reflect.TypeFor[state.MissedShare](), "SoakOutage": reflect.TypeFor[state.SoakOutage](),
		"SoakClaim": reflect.TypeFor[state.SoakClaim](), "SoakBreak": reflect.TypeFor[state.SoakBreak](), "PortAway": reflect.TypeFor[state.PortAway](),
		"ClockStep": reflect.TypeFor[state.ClockStep](), "SoakHour": reflect.TypeFor[state.SoakHour](),
		"SoakMinutes": reflect.TypeFor[state.SoakMinutes](),
		"Draft":       reflect.TypeFor[dialogue.Moment](), "DraftStep": reflect.TypeFor[dialogue.Step](), "DraftNews": reflect.TypeFor[dialogue.News](),
		"DraftQuestion": reflect.TypeFor[draft.Question](), "DraftChoice": reflect.TypeFor[draft.Choice](), "DraftFinding": reflect.TypeFor[draft.Finding](),
		"Rest": reflect.TypeFor[state.Rest](), "Drift": reflect.TypeFor[state.Drift](), "SoakGoal": reflect.TypeFor[state.SoakGoal](),
		"VerdictCount": reflect.TypeFor[state.VerdictCount](), "LeadsFigures": reflect.TypeFor[state.LeadsFigures](),
		"PromptWaiting": reflect.TypeFor[state.Prompt](), "PromptWait": reflect.TypeFor[state.Wait](),
	}
	maps.Copy(types, map[string]reflect.Type{
		"Drills": reflect.TypeFor[course.Shown](), "Drill": reflect.TypeFor[course.Listed](), "DrillPrompt": reflect.TypeFor[course.ListedPrompt](),
		"DrillClaims": reflect.TypeFor[course.Counts](), "RunningDrill": reflect.TypeFor[course.Running](), "StandingPrompt": reflect.TypeFor[course.Standing](),
		"DrillSaid": reflect.TypeFor[course.Said](), "WalkMark": reflect.TypeFor[course.Mark](), "EndedDrill": reflect.TypeFor[course.Finished](),
		"DrillClaim": reflect.TypeFor[course.Told](), "MoreClaims": reflect.TypeFor[course.More](), "NextDrill": reflect.TypeFor[course.Next](),
	})
	maps.Copy(types, api.BodyTypes())
	return types
}

// member is a field as JSON has it.
type member struct {
	name string
	may  bool // be lacking
	reflect.Type
}

func membersOf(of reflect.Type) (list []member) {
	for _, f := range reflect.VisibleFields(of) {
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		if name == "-" || f.Anonymous {
			continue
		}
		list = append(list, member{name, strings.Contains(options, "omit"), f.Type})
	}
	return list
}

// Whatever is added to a type is described, also what no test has a value for; what is
// described is a member of its type, and has its JSON type.
func TestSchemasAreTheTypes(t *testing.T) {
	doc, types := described(t, start(t, nil)), schemaTypes()
	delete(doc.Components.Schemas, "Trace") // written without a type; answers are held to it
	assert.ElementsMatch(t, slices.Collect(maps.Keys(types)), slices.Collect(maps.Keys(doc.Components.Schemas)))
	names := map[reflect.Type]string{}
	for name, of := range types {
		names[of] = name
	}
	for name, of := range types {
		schema := doc.Components.Schemas[name]
		require.NotNil(t, schema, name)
		var all, must []string
		if name == "Event" {
			all, must = []string{"crc"}, []string{"crc"} // the seal of a line, which is no member of the type
		}
		for _, m := range membersOf(of) {
			all = append(all, m.name)
			if !m.may {
				must = append(must, m.name)
			}
			if p := schema.Value.Properties[m.name]; p != nil {
				assert.Equal(t, typeOf(m.Type, names), typeSaid(p), "%s.%s", name, m.name)
			}
		}
		assert.ElementsMatch(t, all, slices.Collect(maps.Keys(schema.Value.Properties)), name)
		assert.ElementsMatch(t, must, schema.Value.Required, "%s: what is always there", name)
	}
}

// typeOf is what JSON makes of a type.
func typeOf(of reflect.Type, names map[reflect.Type]string) string {
	if name, ok := names[of]; ok {
		return name
	}
	switch of.Kind() {
	case reflect.Struct:
		if of == reflect.TypeFor[time.Time]() {
			return "string"
		}
		return "object"
	case reflect.Pointer:
		return typeOf(of.Elem(), names)
	case reflect.Bool:
		return "boolean"
	case reflect.String:
		return "string"
	case reflect.Slice, reflect.Array:
		if of.Elem().Kind() == reflect.Uint8 { // JSON of its own
			return "object"
		}
		return "array of " + typeOf(of.Elem(), names)
	case reflect.Map:
		return "object"
	case reflect.Float64:
		return "number"
	}
	return "integer"
}

// typeSaid is what a schema says of it.
func typeSaid(s *openapi3.SchemaRef) string {
	if s.Ref != "" {
		return s.Ref[strings.LastIndexByte(s.Ref, '/')+1:]
	}
	v := s.Value
	some := v.Const
	if len(v.Enum) > 0 {
		some = v.Enum[0]
	}
	switch {
	case len(v.AllOf) == 1:
		return typeSaid(v.AllOf[0])
	case v.Type != nil && v.Type.Includes("array"):
		return "array of " + typeSaid(v.Items)
	case v.Type != nil:
		return v.Type.Slice()[0]
	}
	return map[reflect.Kind]string{reflect.Bool: "boolean", reflect.Float64: "integer", reflect.String: "string"}[reflect.ValueOf(some).Kind()]
}

// A member of JSON is one of these; the request bodies that must have a member say so in
// a sentence.
func TestTheCheckOfTypesCatchesSomething(t *testing.T) {
	for _, c := range []struct {
		of   reflect.Type
		want string
	}{
		{reflect.TypeFor[[]state.Claim](), "array of object"}, {reflect.TypeFor[*int64](), "integer"}, {reflect.TypeFor[event.Signal](), "string"},
	} {
		assert.Equal(t, c.want, typeOf(c.of, nil))
	}
	whole := openapi3.NewSchemaRef("", openapi3.NewInt64Schema())
	assert.Equal(t, "integer", typeSaid(whole))
	assert.Equal(t, "array of integer", typeSaid(openapi3.NewSchemaRef("", openapi3.NewArraySchema().WithItems(whole.Value))))
}
