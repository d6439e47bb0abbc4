#include "command/commands.h"

#include <stdio.h>

#include "command/solution_command.h"

int command_solution(int argc, char **argv)
{
	return solution_command(argc, argv, stdout, stderr);
}
