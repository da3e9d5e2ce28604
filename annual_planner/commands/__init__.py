"""The commands without a window, a module for each family; `add` of each makes them known."""
