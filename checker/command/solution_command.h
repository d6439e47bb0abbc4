/* The command `leanrich solution`: the chemistry of one state, or of a sweep of states, from options. */
#ifndef LEANRICH_SOLUTION_COMMAND_H
#define LEANRICH_SOLUTION_COMMAND_H

#include <stdio.h>

/*
 * argv[0] is the command's own name. Text, with --json one JSON object, with --sweep CSV, on `out`; faults on `err`,
 * one line that names the option. Returns 0, 2 (bad command line), 3 (a state did not converge: nothing on `out`) or
 * 4 (cannot write).
 */
int solution_command(int argc, char **argv, FILE *out, FILE *err);

#endif
