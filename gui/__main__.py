"""``python -m gui`` opens the window."""

from gui.command import main

if __name__ == "__main__":
    main()
