// What happens to the inputs, from a text file:
//
//	# comment
//	1000000 3 1       at 1 ms output 3 goes high (0: low)
//	5000000 reset     the board is reset
//	9000000 end       the run ends
//
// Times are ns since the board was first powered and never decrease. The file is
// read as it is needed, so it may be a pipe.
#ifndef STIMULUS_H
#define STIMULUS_H

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

enum what { LEVEL, RESET, END };

struct stimulus {
	uint64_t ns;
	enum what what;
	int output; // from 1 to 8
	int level;
};

// stimulus_next reads the next one; false at the end of the file. It ends the
// program with a sentence if a line can't be read.
bool stimulus_next(FILE *f, struct stimulus *s);

#endif
