"""The window itself: what is put where, menus, and what happens when something changes."""
