/* A program of nothing but the header. */
extern int rigging_empty;
