"""The studio in the browser: pages that call actions and show what they answer."""
