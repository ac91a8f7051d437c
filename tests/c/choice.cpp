// The client of choice.c, compiled as C++17: the header and every call mean the same in both.
#include "choice.c"
