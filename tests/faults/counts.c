/*
 * Part of the coverage build only: what a run has counted reaches its file whatever the test took from the program. The
 * counts are written when the program ends, and a run ended by _Exit, with no memory or with a limit on the size of
 * files would lose them or spoil the file. Nothing here runs before the program has ended.
 */
#define _GNU_SOURCE
#include <stdlib.h>
#include <sys/resource.h>

void __gcov_dump(void);

/* Of starve.c, where that is loaded. */
__attribute__((weak)) void starve_no_longer(void);

_Noreturn void __real__Exit(int status);
_Noreturn void __wrap__Exit(int status);

/* Before the counts are written: those go last of all that runs at the end of a program. */
__attribute__((destructor)) static void give_back(void)
{
	struct rlimit limit;
	if (starve_no_longer)
		starve_no_longer();
	if (getrlimit(RLIMIT_FSIZE, &limit) == 0) {
		limit.rlim_cur = limit.rlim_max;
		setrlimit(RLIMIT_FSIZE, &limit);
	}
}

_Noreturn void __wrap__Exit(int status)
{
	give_back();
	__gcov_dump();
	__real__Exit(status);
}
