#include "commands.h"
int command_import(int argc, char **argv) { (void)argc; (void)argv; return STATUS_USAGE; }
