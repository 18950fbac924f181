#include "stimulus.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

static unsigned long number;
static uint64_t last;

static void wrong(const char *line)
{
	fprintf(stderr, "stimulus, line %lu: got %.*s, want \"NS OUTPUT 0|1\", \"NS reset\" or \"NS end\", times not decreasing\n",
		number, (int)strcspn(line, "\n"), line);
	exit(2);
}

static bool is_word(const char *s, const char *word)
{
	size_t n = strlen(word);

	return !strncmp(s, word, n) && (s[n] == '\n' || s[n] == 0);
}

static void parse(const char *line, struct stimulus *s)
{
	int used = 0, all = 0;

	if (sscanf(line, "%" SCNu64 " %n", &s->ns, &used) != 1 || !used || s->ns < last)
		wrong(line);
	last = s->ns;
	if (is_word(line + used, "reset")) {
		s->what = RESET;
	} else if (is_word(line + used, "end")) {
		s->what = END;
	} else {
		s->what = LEVEL;
		if (sscanf(line + used, "%d %d %n", &s->output, &s->level, &all) != 2 || line[used + all] ||
		    s->output < 1 || s->output > 8 || s->level < 0 || s->level > 1)
			wrong(line);
	}
}

bool stimulus_next(FILE *f, struct stimulus *s)
{
	char line[128];

	while (fgets(line, sizeof line, f)) {
		number++;
		if (line[0] == '#' || line[0] == '\n')
			continue;
		parse(line, s);
		return true;
	}
	return false;
}
